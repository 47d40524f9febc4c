"""Problems as the terminal shows them."""

from pipeline.problems import Place, Problem, Severity
from pipeline.report.problem_text import problems_text


def test_problems_text__causes_before_what_follows_from_them():
    places = [
        ("Animals", Severity.ERROR),
        ("My page", Severity.NOTE),
        ("Genes", Severity.ERROR),
        ("Genes", Severity.WARNING),
    ]
    problems = [Problem(level, Place("b.xlsx", sheet, 2, "D"), "Odd.", "Mend it.") for sheet, level in places]
    assert problems_text(problems, ["Genes", "Animals"]).splitlines() == [
        "b.xlsx, sheet Genes", "  error   D2      Odd. Mend it.", "  warning D2      Odd. Mend it.",
        "b.xlsx, sheet Animals", "  error   D2      Odd. Mend it.",
        "b.xlsx, sheet My page", "  note    D2      Odd. Mend it.",
        "2 errors (what stands there is left out), 1 warning (used, and doubted), 1 note.",
    ]  # fmt: skip
