"""The rows of a long table beyond the first, packed for the page's script, which builds them when they are needed.

A table of a thousand rows is little to read at once and much for a browser to lay out. So the page holds the first rows as
they are and the rest as JSON beside them, column by column, each text that comes again written once.
"""

from collections.abc import Sequence
from typing import Any

from markupsafe import Markup, escape

from pipeline.report.figures import script_safe
from pipeline.report.grid import Cells, Grid
from pipeline.report.readable import readable
from pipeline.report.records import Records


def packed(grid: Grid, records: Records) -> Markup:
    """JSON for a script element: the rows of a table that are not written out.

    `columns` hold `words` (with `at`, which of them each row says, where they come again), `html` where the words are
    markup, the cells' `style`, `keys` to sort by and `links`, the numbers of the records they name; `ids` and `figures`
    are those of the rows.
    """
    rest = slice(grid.written, None)
    columns = [_column(cells, rest, records) for cells in grid.cells]
    return Markup(
        script_safe(
            {
                "columns": columns,
                "ids": grid.ids[rest],
                "figures": grid.figures[rest],
                "rows": grid.rows - grid.written,
            }
        )
    )


def _column(cells: Cells, rest: slice, records: Records) -> dict[str, Any]:
    column = {**_said(cells.texts[rest]), "style": cells.column.style, "keys": cells.keys[rest]}
    if cells.names:
        found = [records.of(*name) for name in cells.names[rest]]
        column["links"] = [record.number if record else 0 for record in found]
    return {name: value for name, value in column.items() if value}


def _said(texts: Sequence[str | Markup]) -> dict[str, Any]:
    """The texts, or where most come again each once and which of them every row says."""
    distinct = {text: number for number, text in enumerate(dict.fromkeys(texts))}
    marked = any(isinstance(text, Markup) for text in distinct)
    again = 2 * len(distinct) < len(texts)
    words = list(distinct) if again else texts
    return {
        "words": [str(escape(text)) if marked else readable(text) for text in words],
        "at": [distinct[text] for text in texts] if again else [],
        "html": marked,
    }
