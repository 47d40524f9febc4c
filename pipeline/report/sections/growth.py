"""Who is growing toward breeding size: who is ready, what waits, and weights that want a look."""

import pandas as pd

from pipeline.report.context import Context, Highlight, anchor, subject
from pipeline.report.formats import dates, spans
from pipeline.report.grid import Grid, columns_of, grid
from pipeline.report.sections.part import Part, counted, listed

_LIKELY = 0.8
_EMPTY = "No growth to tell of yet: fill the sheets Animals, Species (breeding weight and age) and Weights."


def growth(context: Context) -> Part:
    """The readiness of every animal that is still on its way or just there, and the alerts."""
    rows = context.table("growth").sort_values(["ready_on", "species", "animal"], kind="stable")
    rows = rows.assign(
        ready_between=spans(dates(rows["ready_early"]), dates(rows["ready_late"]), open_end="maybe never")
    )
    drawn = context.drawn_of("growth")
    ids = [anchor("animal", *key) for key in zip(rows["book"], rows["animal"], strict=True)]
    figures = [drawn.get(subject(*key)) for key in zip(rows["book"], rows["animal"], strict=True)]
    columns = columns_of("growth", _COLUMNS.format(""), book=context.several_books)
    table = grid(
        "animals",
        "Growth and readiness of each animal",
        rows,
        columns,
        empty=_EMPTY,
        ids=ids,
        figures=figures,
    )
    alerts = context.tables.get("growth_alerts", pd.DataFrame())
    values = {
        "animals": table,
        "alerts": _alerts(alerts, context),
        "figures": list(drawn.values()),
        "left_out": context.left_out.get("growth", 0),
    }
    quiet = "No weight gives cause for alarm." if "growth_alerts" in context.tables and len(rows) else ""
    return Part(values, (*_alarms(alerts), *_ready(rows)), quiet)


_COLUMNS = """
    animal    | Animal | words |
    species   | Species | words |
    sex       | Sex | words |
    latest_g  | Latest weight | counts | g
    latest_on | Weighed on | dates |
    target_g  | Breeding weight | counts | g
    ready_on  | Ready on | dates |
    ready_between | Likely between (80 %) | words |
    p_ready   | Ready for the coming season | percents |
    blocked_by | Waits for | words |
    curve     | Curve | words |
    n         | Weighings | counts |
    note      | Note | words |
"""


def _alerts(alerts: pd.DataFrame, context: Context) -> Grid | None:
    if alerts.empty:
        return None
    columns = columns_of(
        "growth_alerts",
        """
        animal  | Animal | words |
        date    | Date | dates |
        kind    | Kind | words |
        message | What was seen | words |
        """,
        book=context.several_books,
    )
    return grid("alerts", "Weights that want a look", alerts, columns, empty="")


def _alarms(alerts: pd.DataFrame) -> list[Highlight]:
    if alerts.empty:
        return []
    names = listed(sorted(set(alerts["animal"].astype(str))))
    return [Highlight(f"{counted(len(alerts), 'weight')} to look at: {names}.", "growth")]


def _ready(rows: pd.DataFrame) -> list[Highlight]:
    """Who is likely ready for the coming season, said as what it is: likely."""
    likely = rows[rows["p_ready"].astype(float) >= _LIKELY]
    if rows.empty:
        return []
    if likely.empty:
        return [
            Highlight("No animal is likely to be ready for the coming season yet.", "growth", urgent=False)
        ]
    names = listed([str(name) for name in likely["animal"]])
    words = f"{counted(len(likely), 'animal')} likely ready to breed in the coming season (80 % or more): {names}."
    return [Highlight(words, "growth", urgent=False)]
