"""What to mend in the book, by sheet and cell."""

from pipeline.report.context import Context, Highlight
from pipeline.report.grid import columns_of, grid
from pipeline.report.sections.part import Part, counted

_NONE = "No problem was found in the book."


def problems(context: Context) -> Part:
    """Errors, then warnings, then notes, in the order they were given."""
    rows = context.table("problems")
    places = zip(rows["sheet"], rows["cell"], strict=True)
    rows = rows.assign(
        where=[f"{sheet}, {cell}" if isinstance(cell, str) else sheet for sheet, cell in places]
    )
    columns = columns_of(
        "problems",
        """
        severity | How bad | words |
        where    | Where | words |
        message  | What is wrong | prose |
        hint     | What to do | prose |
        value    | What stands there | words |
        """,
        book=context.several_books,
    )
    errors = int((rows["severity"] == "error").sum())
    warnings = int((rows["severity"] == "warning").sum())
    found = []
    if errors:
        words = f"{counted(errors, 'error')} in the book: what stands there was left out of every answer."
        found.append(Highlight(words, "problems"))
    if warnings:
        found.append(
            Highlight(f"{counted(warnings, 'cell')} of the book to look at.", "problems", urgent=False)
        )
    table = grid("cells", "Problems by sheet and cell", rows, columns, empty=_NONE)
    return Part(
        {"table": table},
        tuple(found),
        "No row of the book had to be left out." if context.has_answers else "",
    )
