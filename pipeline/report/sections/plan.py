"""Next season: whom to pair and why, what else could be, what the young would be, and which young to keep."""

from typing import Any

import pandas as pd

from pipeline.report.context import Context, Highlight
from pipeline.report.formats import money, spans
from pipeline.report.grid import Grid, grid
from pipeline.report.sections.part import Part, counted, listed

_MOST_OPTIONS = 60
_OPENED = 12
_EMPTY = "No pair to plan yet: fill Sex and Genes on the sheet Animals, and breeding weights and ages on the sheet Species."


def plan(context: Context) -> Part:
    """The plan first, then what it gave up, every other pair, the young of the best, and holdbacks."""
    planned = _in_order(context.table("season_plan"), ["score"])
    options = _in_order(context.table("pair_options"), ["score"])
    notes = context.table("season_plan_notes")
    young, other_young = _young(context, planned)
    values = {
        "season": _season(planned),
        "meaning": _meaning() if len(planned) else "",
        "notes": list(dict.fromkeys(notes["note"].dropna())),
        "plan": _plan(context, planned),
        "alternatives": _alternatives(context),
        "options": _options(context, options.head(_MOST_OPTIONS)),
        "left_out": max(0, len(options) - _MOST_OPTIONS),
        "young": young,
        "other_young": other_young,
        "keep": _holdbacks(context, keep=True),
        "go": _holdbacks(context, keep=False),
    }
    return Part(values, tuple(_highlights(planned, context.table("holdbacks"), context)))


def _in_order(frame: pd.DataFrame, by: list[str]) -> pd.DataFrame:
    return frame.sort_values(
        [*by, "species", "dam", "sire", "book"], ascending=[False] * len(by) + [True] * 4, kind="stable"
    )


def _meaning() -> str:
    """What the points are for, in the words of whoever gave them; who planned nothing has not entered that room."""
    from pipeline.findings.pairs.scoring import MEANING

    return MEANING


def _season(planned: pd.DataFrame) -> str:
    years = planned["season"].dropna()
    return "" if years.empty else f"{years.iloc[0]:.0f}"


_PLAN = """
    pair    | Dam x sire | brief |
    score   | Points | counts |
    reason  | Why | prose |
    cautions | Mind | prose |
    expected_value | Litter's value | money |
    value_range | 80 % range | brief |
    currency | Currency | words |
    young   | Young | counts |
    species | Species | brief |
    dam     | Dam | words |
    sire    | Sire | words |
    pairing | In the book as | words |
"""


def _plan(context: Context, rows: pd.DataFrame) -> Grid:
    columns = context.columns("season_plan", _PLAN)
    return grid(
        "season-plan",
        "The best set of pairs under your limits",
        _with_range(_paired(rows)),
        columns,
        empty=_EMPTY,
    )


def _with_range(rows: pd.DataFrame) -> pd.DataFrame:
    """With the range of a litter's value in one column."""
    return rows.assign(value_range=spans(money(rows["value_low"]), money(rows["value_high"])))


def _paired(rows: pd.DataFrame) -> pd.DataFrame:
    """With the two names in one column."""
    return rows.assign(
        pair=[f"{dam}\u00a0x\u00a0{sire}" for dam, sire in zip(rows["dam"], rows["sire"], strict=True)]
    )


_ALTERNATIVES = """
    pair  | Dam x sire | brief |
    kind  | Plan | words |
    score | Points of the pair | counts |
    share | Of the best plan | shares |
    changes | What else changes | prose |
    why   | Why it was left out | prose |
    species | Species | brief |
    dam   | Dam | words |
    sire  | Sire | words |
"""


def _alternatives(context: Context) -> Grid:
    rows = context.table("season_plan_alternatives")
    rows = _paired(rows).assign(
        share=rows["share"].astype(float).round(3), kind=[f"{kind} it" for kind in rows["kind"]]
    )
    columns = context.columns("season_plan_alternatives", _ALTERNATIVES)
    return grid("other-plans", "What was given up, and other plans nearly as good", rows, columns, empty="")


_OPTIONS = """
    dam     | Dam | words |
    sire    | Sire | words |
    score   | Points | counts |
    why     | Why | prose |
    cautions | Mind | prose |
    limit   | Ruled out by | words |
    ready   | Both ready from | dates |
    f_young | Inbreeding of young | shares |
    common_ancestors | Kin through | words |
    goal    | Serves goal | words |
    goal_probability | Goal in one young | odds |
    goal_by_litter | In a litter | odds |
    nearer_probability | Young nearer it | odds |
    expected_value | Litter's value | money |
    value_range | 80 % range | brief |
    currency | Currency | words |
    information_bits | Would tell | tenths | bits
    species | Species | brief |
"""


def _options(context: Context, rows: pd.DataFrame) -> Grid:
    rows = _with_range(rows).assign(limit=rows["limit"].where(rows["limit"] != "nothing"))
    columns = context.columns("pair_options", _OPTIONS)
    return grid("pair-options", "Every pair that could be, best first", rows, columns, empty="")


_YOUNG = """
    pair  | Dam x sire | brief |
    label | Label | words |
    sex   | Sex | words |
    probability | Share of young | bars |
    price | Price of one | money |
    price_range | 8 of 10 between | brief |
    dam   | Dam | words |
    sire  | Sire | words |
"""


def _young(context: Context, planned: pd.DataFrame) -> tuple[Grid, Grid]:
    """What the young of the planned pairs may be called, pair by pair in the plan's order; and those of the best others.

    One table for all pairs: a large collection plans hundreds, and a table for each would outweigh the rest of the page.
    """
    rows = context.table("pair_outcomes")
    rows = _paired(rows).assign(price_range=spans(money(rows["price_low"]), money(rows["price_high"])))
    columns = context.columns("pair_outcomes", _YOUNG)
    known = list(rows[_PAIR].drop_duplicates().itertuples(index=False, name=None))
    chosen = list(planned[_PAIR].itertuples(index=False, name=None))
    others = [pair for pair in known if pair not in set(chosen)][:_OPENED]
    return (
        grid("young", "Young of the planned pairs", _of_pairs(rows, chosen), columns, empty=""),
        grid("other-young", "Young of the best other pairs", _of_pairs(rows, others), columns, empty=""),
    )


_PAIR = ["book", "dam", "sire"]


def _of_pairs(rows: pd.DataFrame, pairs: list[tuple[str, str, str]]) -> pd.DataFrame:
    """The rows of these pairs, in the pairs' order."""
    place = {pair: number for number, pair in enumerate(pairs)}
    at = rows[_PAIR].apply(tuple, axis=1).map(place) if len(rows) else pd.Series(dtype=float)
    return rows.assign(at=at).dropna(subset="at").sort_values("at", kind="stable")


_HOLDBACKS = """
    animal  | Animal | words |
    pairing | Hatched in | words |
    species | Species | brief |
    sex     | Sex | words |
    count   | Young | counts |
    label   | May be called | words |
    goal    | For goal | words |
    why     | Why | prose |
    price   | Price of one | money |
    price_range | 8 of 10 between | brief |
    currency | Currency | words |
"""


def _holdbacks(context: Context, *, keep: bool) -> Grid:
    rows = context.table("holdbacks")
    rows = rows[rows["keep"].eq("keep") == keep]
    rows = rows.assign(
        animal=rows["animal"].fillna("no row of its own"),
        price_range=spans(money(rows["price_low"]), money(rows["price_high"])),
    )
    columns = context.columns("holdbacks", _HOLDBACKS)
    caption = "Young worth keeping for the goals" if keep else "Young that may go"
    return grid("keep" if keep else "may-go", caption, rows, columns, empty="")


def _highlights(planned: pd.DataFrame, holdbacks: pd.DataFrame, context: Context) -> list[Highlight]:
    found = []
    if len(planned):
        best = listed(
            [context.of_book(f"{row.dam} x {row.sire}", row.book) for row in planned.itertuples()], 3
        )
        found.append(
            Highlight(
                f"{counted(len(planned), 'pair')} proposed for {_season(planned)}, by points: {best}.",
                "plan",
                urgent=False,
            )
        )
    kept = holdbacks[holdbacks["keep"].eq("keep")]
    if len(kept):
        each = (context.of_book(_young_name(row), row.book) for row in kept.itertuples())
        names = listed(list(dict.fromkeys(each)), 4)
        found.append(Highlight(f"Young to keep for your goals: {names}.", "plan", urgent=False))
    return found


def _young_name(row: Any) -> str:
    return f"{row.label} of {row.pairing}" if pd.isna(row.animal) else f"{row.animal} ({row.label})"
