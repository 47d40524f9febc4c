"""Problems in the order in which a reader meets them."""

from pipeline.problems import Place, Problem, Severity, sorted_problems


def test_sorted_problems__worst_first_then_as_a_sheet_is_read():
    """Excel counts columns A to Z, then AA."""
    note, error = Severity.NOTE, Severity.ERROR
    read = [(error, 9, "B"), (note, None, None), (note, 2, None), (note, 2, "B"), (note, 2, "AA"), (note, 10, "A")]
    problems = [Problem(severity, Place("b.xlsx", "Animals", *at), "") for severity, *at in read]
    assert sorted_problems(sorted(problems, key=lambda problem: problem.place.cell or "")) == problems
