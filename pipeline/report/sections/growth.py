"""Who is growing toward breeding size: who is ready, what waits, and weights that want a look."""

from datetime import date

import pandas as pd

from pipeline.report.context import Context, Highlight, anchor
from pipeline.report.formats import dates, spans
from pipeline.report.grid import Grid, grid
from pipeline.report.sections.part import Part, counted, listed

_LIKELY = 0.8
_EMPTY = "No growth to tell of yet: fill the sheets Animals, Species (breeding weight and age) and Weights."


def growth(context: Context) -> Part:
    """The readiness of every animal that is still on its way or just there, and the alerts."""
    rows = _ordered(context.table("growth"), context.head.as_of)
    rows = rows.assign(
        ready_between=spans(dates(rows["ready_early"]), dates(rows["ready_late"]), open_end="maybe never")
    )
    drawn, timelines = context.drawn_of("growth"), context.drawn_of("readiness")
    ids = [anchor("animal", *key) for key in zip(rows["book"], rows["animal"], strict=True)]
    figures = [drawn.get(context.subject(*key)) for key in zip(rows["book"], rows["animal"], strict=True)]
    columns = context.columns("growth", _COLUMNS.format(""))
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
        "timelines": list(timelines.values()),
        "figures": list(drawn.values()),
        "left_out": context.left_out.get("growth", 0),
    }
    quiet = "No weight gives cause for alarm." if "growth_alerts" in context.tables and len(rows) else ""
    return Part(values, (*_alarms(alerts, context), *_ready(rows, context)), quiet)


def _ordered(rows: pd.DataFrame, as_of: date) -> pd.DataFrame:
    """The next to be ready first, then those without a date, then those that are ready already."""
    ready = pd.to_datetime(rows["ready_on"])
    order = rows.assign(_there=ready <= pd.Timestamp(as_of), _ready=ready)
    order = order.sort_values(["_there", "_ready", "species", "animal", "book"], kind="stable")
    return order.drop(columns=["_there", "_ready"])


_COLUMNS = """
    animal    | Animal | words |
    species   | Species | brief |
    sex       | Sex | words |
    latest_g  | Latest weight | counts | g
    latest_on | Weighed on | dates |
    target_g  | Breeding weight | counts | g
    ready_on  | Ready on | dates |
    ready_between | Likely between (80 %) | day_ranges |
    p_ready   | Ready by season start | percents |
    blocked_by | Waits for | words |
    curve     | Curve | words |
    basis     | Rests on | words |
    n         | Weighings | counts |
    note      | Note | prose |
"""


def _alerts(alerts: pd.DataFrame, context: Context) -> Grid | None:
    if alerts.empty:
        return None
    columns = context.columns(
        "growth_alerts",
        """
        animal  | Animal | words |
        date    | Date | dates |
        kind    | Kind | words |
        message | What was seen | prose |
        """,
    )
    return grid("alerts", "Weights that want a look", alerts, columns, empty="")


def _alarms(alerts: pd.DataFrame, context: Context) -> list[Highlight]:
    """What the scale told; animals that were long not on it are said apart, and not as a matter of urgency."""
    if alerts.empty:
        return []
    unweighed = alerts["kind"] == "not weighed"
    told, waiting = (sorted(set(_named(rows, context))) for rows in (alerts[~unweighed], alerts[unweighed]))
    found = []
    if told:
        found.append(
            Highlight(f"{counted(len(told), 'animal')} whose weight wants a look: {listed(told)}.", "growth")
        )
    if waiting:
        words = f"{counted(len(waiting), 'animal')} not weighed for long: {listed(waiting)}."
        found.append(Highlight(words, "growth", urgent=False))
    return found


def _named(rows: pd.DataFrame, context: Context) -> list[str]:
    return [context.of_book(*whose) for whose in zip(rows["animal"], rows["book"], strict=True)]


def _ready(rows: pd.DataFrame, context: Context) -> list[Highlight]:
    """Who is ready, and who likely will be by the coming season; said as what it is: likely."""
    if rows.empty:
        return []
    there = rows["blocked_by"] == "nothing"
    likely = (rows["p_ready"].astype(float) >= _LIKELY) & ~there
    coming = _named(rows[likely], context)
    ready = f"{counted(int(there.sum()), 'animal')} ready to breed by weight, age and rest already."
    words = [ready] if there.any() else []
    if coming:
        words.append(
            f"{counted(len(coming), 'animal')} likely to be ready when the coming season begins: {listed(coming)}."
        )
    if not words:
        told = rows["p_ready"].notna().any()
        words = [
            "No animal is likely to be ready for the coming season yet." if told
            else "When animals are ready can't be told yet: their notes say what is missing."
        ]  # fmt: skip
    return [Highlight(text, "growth", urgent=False) for text in words]
