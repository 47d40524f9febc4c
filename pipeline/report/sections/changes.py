"""What changed since the last run in the same folder."""

from collections import Counter

import pandas as pd

from pipeline.report.context import Context, Highlight
from pipeline.report.formats import day
from pipeline.report.grid import grid
from pipeline.report.sections.part import Part, listed

_FIRST = "This is the first run in this folder; the next one will say here what changed."
_PLACES = {
    "suspicion": "suspicions", "verdict": "ratios", "carrier": "carriers", "growth": "growth", "price": "prices",
    "problem": "problems",
}  # fmt: skip
"""The section in which each kind of change is told in full, in the page's order."""
_NOUNS = {kind: kind for kind in _PLACES} | {"growth": "animal", "price": "price trend"}


def changes(context: Context) -> Part:
    """One line where there is nothing to compare or nothing changed; else the list of changes."""
    runs, rows = context.table("runs"), context.table("changes")
    since = sorted({pd.Timestamp(one).date() for one in runs["compared_with"].dropna()})
    then = " and ".join(day(one) for one in since)
    rows = rows.assign(_kind=rows["kind"].map(list(_PLACES).index)).sort_values(["_kind"], kind="stable")
    columns = context.columns("changes", _COLUMNS)
    table = grid("changed", f"Since the run as of {then}", rows, columns, empty="") if len(rows) else None
    remarks = list(dict.fromkeys(runs["remark"].dropna()))
    said = f"No suspicion, verdict, carrier, readiness, price direction or problem changed since the run as of {then}."
    first = "" if remarks else _FIRST
    values = {"table": table, "said": "" if len(rows) else (said if since else first), "remarks": remarks}
    odd = [Highlight(remark, "changes", urgent=False) for remark in remarks]
    return Part(values, (*odd, *_highlights(rows, then)))


_COLUMNS = """
    kind    | What | words |
    what    | Is | words |
    subject | Of | words |
    before  | Before | prose |
    now     | Now | prose |
    species | Species | brief |
"""


def _highlights(rows: pd.DataFrame, then: str) -> list[Highlight]:
    """One sentence for all of it: '2 suspicions new, 1 gone; 3 carriers settled'."""
    if rows.empty:
        return []
    found = []
    for kind in _PLACES:
        told = Counter(rows.loc[rows["kind"] == kind, "what"])
        for at, (what, count) in enumerate(told.items()):
            noun = "" if at else f" {_NOUNS[kind]}{'s' if count > 1 else ''}"
            found.append(f"{count:,}{noun} {what}")
    return [Highlight(f"Since the run as of {then}: {listed(found, 12)}.", "changes", urgent=False)]
