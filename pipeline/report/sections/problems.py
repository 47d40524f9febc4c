"""What to mend in the book, by sheet and cell."""

import pandas as pd

from pipeline.report.alike import times, together
from pipeline.report.context import Context, Highlight
from pipeline.report.grid import grid
from pipeline.report.sections.part import Part, counted

_NONE = "No problem was found in the book."


def problems(context: Context) -> Part:
    """Errors, then warnings, then notes, in the order they were given; many that say the same in one line."""
    rows = context.table("problems")
    columns = context.columns(
        "problems",
        """
        severity | How bad | words |
        where    | Where | words |
        message  | What is wrong | prose |
        hint     | What to do | prose |
        value    | What stands there | words |
        """,
    )
    table = grid("cells", "Problems by sheet and cell", _gathered(rows), columns, empty=_NONE)
    return Part(
        {"table": table},
        tuple(_highlights(rows, context)),
        "No row of the book had to be left out." if context.has_answers else "",
    )


def _gathered(rows: pd.DataFrame) -> pd.DataFrame:
    """A row for each problem, or for many of a sheet that say the same, with the words of its place."""
    said = rows[["book", "severity", "sheet", "message", "hint"]].astype(object)
    parts = together(said.where(said.notna(), None).itertuples(index=False, name=None))
    cells = ["" if pd.isna(cell) else cell for cell in rows["cell"]]
    where = [times([cells[at] for at in part]) if len(part) > 1 else cells[part[0]] for part in parts]
    first = rows.iloc[[part[0] for part in parts]]
    values = first["value"].where([rows["value"].iloc[part].nunique() == 1 for part in parts])
    places = zip(first["sheet"], where, strict=True)
    return first.assign(value=values, where=[", ".join(filter(None, place)) for place in places])


def _highlights(rows: pd.DataFrame, context: Context) -> list[Highlight]:
    """How many cells are in error and in doubt; a book that could not be answered at all is told with the books."""
    books = context.table("books")
    unanswered = books.loc[books["answered"].eq(False), "book"] if context.several_books else ()
    rows = rows[~rows["book"].isin(unanswered)]
    which = "books" if context.several_books else "book"
    errors, warnings = (int((rows["severity"] == word).sum()) for word in ("error", "warning"))
    found = []
    if errors:
        words = f"{counted(errors, 'error')} in the {which}: what stands there was left out of every answer."
        found.append(Highlight(words, "problems"))
    if warnings:
        found.append(
            Highlight(f"{counted(warnings, 'cell')} of the {which} to look at.", "problems", urgent=False)
        )
    return found
