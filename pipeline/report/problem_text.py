"""Problems of a book as words for a terminal, and as JSON."""

import json
from collections.abc import Sequence
from itertools import groupby

from pipeline.problems import Problem, Severity

_MARKS = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.NOTE: "note"}


def problems_text(problems: Sequence[Problem], sheets: Sequence[str] = ()) -> str:
    """Problems by sheet, worst first within each, and a last line that counts them.

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
        lines += [f"  {_MARKS[p.severity]:<8}{p.place.cell or '':<8}{_sentence(p)}" for p in own]
    counts = {severity: sum(p.severity is severity for p in problems) for severity in Severity}
    lines.append(
        f"{_count(counts[Severity.ERROR], 'error')} (what stands there is left out), "
        f"{_count(counts[Severity.WARNING], 'warning')} (used, and doubted), {_count(counts[Severity.NOTE], 'note')}."
    )
    return "\n".join(lines)


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
