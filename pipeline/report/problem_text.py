"""Problems of a book as words for a terminal, and as JSON."""

import json
from collections.abc import Iterator, Sequence
from itertools import groupby

from pipeline.problems import Problem, Severity
from pipeline.report.alike import times, together

_MARKS = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.NOTE: "note"}


def problems_text(problems: Sequence[Problem], sheets: Sequence[str] = ()) -> str:
    """Problems by sheet, worst first within each, many that say the same in one line, and a last line that
    counts them.

    `sheets` come in that order, so that a cause stands before what follows from it; others after them, by name.
    """
    order = {name.casefold(): number for number, name in enumerate(sheets)}
    if not problems:
        return "No problems found."
    lines: list[str] = []
    by_sheet = sorted(
        problems, key=lambda p: (p.place.book, order.get(p.place.sheet.casefold(), len(order)), p.place.sheet)
    )
    for (book, sheet), own in groupby(by_sheet, key=lambda p: (p.place.book, p.place.sheet)):
        lines.append(f"{book}, sheet {sheet}" if sheet else book)
        lines += _lines(list(own))
    counts = {severity: sum(p.severity is severity for p in problems) for severity in Severity}
    lines.append(
        f"{_count(counts[Severity.ERROR], 'error')} (what stands there is left out), "
        f"{_count(counts[Severity.WARNING], 'warning')} (used, and doubted), {_count(counts[Severity.NOTE], 'note')}."
    )
    return "\n".join(lines)


def _lines(problems: Sequence[Problem]) -> Iterator[str]:
    """A line for each problem of one sheet, and one for many that say the same."""
    for places in together((p.severity, p.message, p.hint) for p in problems):
        first = problems[places[0]]
        cells = [problems[at].place.cell or "" for at in places]
        also = f" ({times(cells)}.)" if len(cells) > 1 else ""
        yield f"  {_MARKS[first.severity]:<8}{cells[0]:<8}{_sentence(first)}{also}"


def problems_json(problems: Sequence[Problem]) -> str:
    """The same as a JSON list: severity, book, sheet, cell, value, message, hint."""
    return json.dumps(
        [
            {
                "severity": p.severity.value,
                "book": p.place.book,
                "sheet": p.place.sheet,
                "cell": p.place.cell,
                "value": p.value,
                "message": p.message,
                "hint": p.hint,
            }
            for p in problems
        ],
        ensure_ascii=False,
        indent=2,
    )


def _sentence(problem: Problem) -> str:
    return f"{problem.message} {problem.hint}".strip()


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"
