"""What would be brought in, as text to confirm."""

from collections.abc import Iterator
from textwrap import shorten

from pipeline.workbook.bringing.bring import Brought
from pipeline.workbook.bringing.left_over import destination, examples
from pipeline.workbook.bringing.topics import Matched
from pipeline.workbook.sheets import SHEETS

_HEADS = ("Their column", "Goes to", "Sure", "By", "Examples")
_WIDEST = (26, 44, 5, 16, 60)


def brought_text(brought: Brought) -> str:
    """A table for each table of the old list, then how many records come of it, what is made up, what is left over."""
    lines = [line for table in brought.tables for line in _table(table)]
    gathered = brought.gathered
    counts = [
        f"{sheet.name} {len(gathered.records.get(sheet.name, ()))}"
        for sheet in SHEETS
        if gathered.records.get(sheet.name)
    ]
    lines += ["Records: " + (", ".join(counts) or "none") + "."]
    lines += [f"- {sentence} ({many})" for sentence, many in gathered.sayings.items()]
    lines += [f"Rows kept as they stand on 'Left over', too: {len(set(gathered.left_over))}."]
    return "\n".join([*lines, *_advice(brought)])


def _table(table: Matched) -> Iterator[str]:
    about = (
        f"is read as a list of {table.topic.lower()}"
        if table.topic
        else "is not understood; all of it goes to Left over"
    )
    header = f"header in row {table.tab.header_row}" if table.tab.header_row else "without headings"
    yield f"Sheet '{table.tab.name}' {about}, {header}, {len(table.tab.rows)} rows."
    rows = [_HEADS] + [
        (
            placing.header,
            destination(table, placing),
            f"{placing.confidence:.0f} %" if placing.target else "",
            placing.why,
            " | ".join(shorten(example, 24, placeholder="…") for example in examples(table, placing)),
        )
        for placing in table.placings
    ]
    widths = [min(most, max(len(row[n]) for row in rows)) for n, most in enumerate(_WIDEST)]
    for row in rows:
        cells = [shorten(cell, most, placeholder="…") or "" for cell, most in zip(row, _WIDEST, strict=True)]
        yield (
            "  " + "  ".join(cell.ljust(width) for cell, width in zip(cells, widths, strict=True))
        ).rstrip()
    yield ""


def _advice(brought: Brought) -> Iterator[str]:
    for name in ("Animals", "Prices"):
        if lacking := sum("Species" not in record for record in brought.gathered.records.get(name, ())):
            rows = "row names" if lacking == 1 else "rows name"
            yield f'{lacking} {rows} no species on {name}; say --species "NAME" to enter one for all of them.'
    yield 'A column in the wrong place? Say --place "THEIR COLUMN=Animals.Born", or "THEIR COLUMN=Notes".'
