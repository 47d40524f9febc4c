"""The rows of a club's answers that a page or a workbook has room for: of each long table the most telling ones.

Every table may have so many rows that all of them together stay within a total. Of a longer one the most telling rows are
taken, as its topic has it, else the same number of rows of each book; rows that only explain a row of another table come
with that row. The database holds all of them.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import pandas as pd

from pipeline.store.database import Store
from pipeline.store.tables import FINDINGS, FindingsTable

WHOLE = frozenset({"books", "runs"})
"""Tables of one row a book, which are never cut."""
_TELLING = {
    "problems": "CASE severity WHEN 'error' THEN 0 WHEN 'warning' THEN 1 ELSE 2 END",
    "suspicions": "probability DESC",
    "ratio_tests": "p NULLS LAST",
    "heterogeneity": "p_heterogeneity NULLS LAST",
    "sex_ratios": "p NULLS LAST",
    "carrier_odds": "abs(p_none - 0.5) NULLS LAST",
    "inbreeding": "f DESC",
    "kinship": "f_young DESC",
    "season_summary": "season DESC",
    "calendar": "season DESC",
    "growth": "ready_on DESC NULLS LAST",
    "growth_alerts": "date DESC",
    "price_trends": "p NULLS LAST",
    "season_value": "season DESC",
    "season_plan": "score DESC NULLS LAST",
    "pair_options": '"rank"',
    "pair_outcomes": "probability DESC",
}
"""What comes first in a long table."""
_EXPLAINS = {
    "ratio_classes": ("ratio_tests", ("book", "species", "scope", "pairing", "clutch", "gene")),
    "ratio_resolutions": ("ratio_tests", ("book", "species", "scope", "pairing", "clutch", "gene")),
    "ratio_parts": ("ratio_tests", ("book", "species", "pairing")),
    "suspicion_rivals": ("suspicions", ("book", "rank")),
    "growth_curves": ("growth", ("book", "animal")),
    "growth_points": ("growth", ("book", "animal")),
    "price_points": ("price_trends", ("book", "species", "morph", "currency", "kind")),
    "price_bands": ("price_trends", ("book", "species", "morph", "currency", "kind")),
    "pair_outcomes": ("season_plan", ("book", "dam", "sire")),
    "goal_routes": ("goal_outlook", ("book", "goal", "route")),
    "goal_notes": ("goal_outlook", ("book", "goal")),
}
"""Tables whose rows explain those of another, and the columns by which."""
_DEAR = {"pair_outcomes": 15}
"""Where the explanation of one row takes the room of so many rows, the first of them alone are explained."""


@dataclass(frozen=True)
class Cut:
    """A table that was cut: how many rows were taken, and of how many."""

    table: FindingsTable
    taken: int
    rows: int


@dataclass(frozen=True)
class Foremost:
    """Findings tables by name, and which of them are not whole."""

    findings: Mapping[str, pd.DataFrame]
    cuts: tuple[Cut, ...]

    def fits(self, total: int) -> bool:
        """Whether nothing was cut, and all rows stay within a total."""
        return not self.cuts and sum(map(len, self.findings.values())) <= total


def foremost(store: Store, total: int) -> Foremost:
    """The findings in `total` rows or fewer, those not counted that explain others or that are never cut."""
    counts = {table.name: _count(store, table.name) for table in FINDINGS}
    asked = {name: count for name, count in counts.items() if name not in _EXPLAINS and name not in WHOLE}
    room = _room(asked.values(), total)
    long = {name for name, count in asked.items() if count > room}
    for name in long:
        _choose(store, name, room)
    findings = {table.name: _taken(store, table.name, long, room) for table in FINDINGS}
    for name in long:
        store.connection.execute(f"DROP TABLE chosen_{name}")
    cuts = (Cut(table, len(findings[table.name]), counts[table.name]) for table in FINDINGS)
    return Foremost(findings, tuple(cut for cut in cuts if cut.taken < cut.rows))


def _count(store: Store, name: str) -> int:
    return store.connection.execute(f"SELECT count(*) FROM findings.{name}").fetchall()[0][0]


def _room(counts: Iterable[int], total: int) -> int:
    """The rows that each table may have: the short ones leave theirs to the long ones."""
    waiting = sorted(counts)
    while waiting and waiting[0] * len(waiting) <= total:
        total -= waiting.pop(0)
    return total // len(waiting) if waiting else total


def _choose(store: Store, name: str, room: int) -> None:
    telling = f"{_TELLING[name]}, " if name in _TELLING else ""
    store.connection.execute(f"""
        CREATE TEMP TABLE chosen_{name} AS
        SELECT nth, row_number() OVER (ORDER BY {telling}place, nth) AS turn FROM (
            SELECT *, rowid AS nth, row_number() OVER (PARTITION BY book ORDER BY rowid) AS place FROM findings.{name}
        )
        ORDER BY turn
        LIMIT {room}
    """)


def _taken(store: Store, name: str, long: set[str], room: int) -> pd.DataFrame:
    """The rows of a table that were chosen, that explain what was chosen, or all; in their order."""
    parent, keys = _EXPLAINS.get(name, ("", ()))
    if name in long:
        where = f"WHERE rowid IN (SELECT nth FROM chosen_{name})"
    elif parent in long:
        same = " AND ".join(f'parent."{key}" IS NOT DISTINCT FROM own."{key}"' for key in keys)
        where = f"""WHERE EXISTS (
            SELECT 1 FROM findings.{parent} AS parent
            WHERE parent.rowid IN (SELECT nth FROM chosen_{parent} WHERE turn <= {room // _DEAR.get(name, 1)}) AND {same}
        )"""
    else:
        return store.found(name)
    return store.connection.execute(f"SELECT * FROM findings.{name} AS own {where} ORDER BY own.rowid").df()
