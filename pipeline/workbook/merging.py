"""Merged cells: what their one value means for the rows and columns they cover."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from openpyxl.utils import get_column_letter

from pipeline.problems import Severity
from pipeline.workbook.cells import shown
from pipeline.workbook.headers import Header
from pipeline.workbook.scan import Merge
from pipeline.workbook.tab import Rows, Tab


def spread_merges(tab: Tab, header: Header, rows: Rows) -> None:
    """A cell merged down several rows holds for each of them; one merged across columns holds for its first only."""
    fields = {index + 1: name for name, index in header.position.items()}
    at = {number: index for index, number in enumerate(rows.numbers)} if tab.scan.merges else {}
    for merge in _apart(tab.scan.merges):
        covered = [fields[c] for c in range(merge.left, min(merge.right, header.width) + 1) if c in fields]
        if merge.top <= header.row or not covered or merge.top not in at:
            continue
        corner = rows.raw[fields[merge.left]][at[merge.top]] if merge.left in fields else None
        if corner is not None:
            _spread(tab, merge, rows.raw[fields[merge.left]], at, corner)
        _tell_across(tab, merge, covered, corner)


def _apart(merges: Iterable[Merge]) -> Iterator[Merge]:
    """Those that don't overlap one before in their first column: Excel makes no others, and a million would take for ever."""
    reached: dict[int, int] = {}
    for merge in sorted(merges, key=lambda merge: (merge.top, merge.left)):
        if merge.top > reached.get(merge.left, 0):
            reached[merge.left] = merge.bottom
            yield merge


def _spread(tab: Tab, merge: Merge, cells: list, at: Mapping[int, int], corner: object) -> None:
    below = [
        at[number]
        for number in range(merge.top + 1, min(merge.bottom, tab.scan.last_row) + 1)
        if number in at
    ]
    for index in below:
        cells[index] = corner
    if merge.bottom > merge.top:
        letter = get_column_letter(merge.left)
        message = f"{letter}{merge.top} to {letter}{merge.bottom} are merged; the value is taken for each of these rows."
        tab.tell(Severity.NOTE, message, row=merge.top, column=letter, value=shown(corner))


def _tell_across(tab: Tab, merge: Merge, covered: Sequence[str], corner: object) -> None:
    if merge.right > merge.left and (len(covered) > 1 or corner is None):
        first, last = get_column_letter(merge.left), get_column_letter(merge.right)
        message = f"{first}{merge.top} to {last}{merge.bottom} are merged across columns; the value is taken for column {first} alone."
        tab.tell(
            Severity.WARNING,
            message,
            "Unmerge the cells and fill each column.",
            row=merge.top,
            column=first,
            value="" if corner is None else shown(corner),
        )
