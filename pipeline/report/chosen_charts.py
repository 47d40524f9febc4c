"""Which charts are worth drawing: what stands out this season, who is next to be ready, and the surest price trends.

A chart costs time to draw, so there is a limit for each kind; what it leaves out is counted and said on the page.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import ModuleType

import pandas as pd

from charts import carrier_curve, gene_premiums, growth, price_trend, ratio_bars, readiness, route
from pipeline.report.context import Context, complete
from pipeline.report.figures import Picture
from pipeline.report.head import PageHead
from pipeline.report.lookup import Lookup
from pipeline.report.ratio_classes import Classes
from pipeline.report.season_tests import season_tests
from pipeline.report.verdicts import STANDS_OUT

LIMITS = {"ratio": 4, "carrier": 4, "readiness": 12, "growth": 12, "price": 12, "premium": 6, "route": 12}
"""Charts of each kind at most. The page draws ratios and carriers itself, of every row that has one."""


@dataclass(frozen=True)
class ChosenCharts:
    """`pictures` by 'kind/subject' (kinds ratio, carrier, readiness, growth, price, premium, route); `left_out` counts the others by kind."""

    pictures: Mapping[str, Picture] = field(default_factory=dict)
    left_out: Mapping[str, int] = field(default_factory=dict)


def chosen_charts(
    findings: Mapping[str, pd.DataFrame], head: PageHead, limits: Mapping[str, int] | None = None
) -> ChosenCharts:
    """The charts of these findings worth drawing, most telling first, within the limits (LIMITS where not given)."""
    context = Context(complete(findings), head)
    limits = {**LIMITS, **(limits or {})}
    ratios, growing, trends = _standing_out(context), growth_rows(context), price_rows(context)
    waiting, premiums, hets = _waiting(context), _premiums(context), _open_hets(context)
    ways = context.table("goal_outlook")
    pictures = {
        **_ratio_pictures(context, ratios.head(limits["ratio"])),
        **_pictures("carrier", carrier_curve, hets.head(limits["carrier"]), context),
        **dict(list(waiting.items())[: limits["readiness"]]),
        **_pictures(
            "growth", growth, growing.head(limits["growth"]), context, "growth_curves", "growth_points"
        ),
        **_pictures(
            "price", price_trend, trends.head(limits["price"]), context, "price_points", "price_bands"
        ),
        **dict(list(premiums.items())[: limits["premium"]]),
        **_route_pictures(context, ways.head(limits["route"])),
    }
    wanted = {
        "ratio": ratios, "carrier": hets, "readiness": waiting, "growth": growing, "price": trends, "premium": premiums,
        "route": ways,
    }  # fmt: skip
    return ChosenCharts(pictures, {kind: max(0, len(rows) - limits[kind]) for kind, rows in wanted.items()})


def _standing_out(context: Context) -> pd.DataFrame:
    """The worst test of each pairing that stands out, worst first."""
    now = season_tests(context).now
    return now[now["verdict"].isin(STANDS_OUT)].drop_duplicates(["book", "pairing"])


def _open_hets(context: Context) -> pd.DataFrame:
    """Open hets of animals that are here, the least decided first."""
    rows = context.table("carrier_odds")
    here = rows[rows["on_visual_95"].notna() & ~rows["status"].isin(["sold", "died"])]
    order = here.assign(_even=(here["p_none"] - 0.5).abs().round(2))
    return order.sort_values(["_even", "animal", "gene", "book"], kind="stable").drop(columns="_even")


def growth_rows(context: Context) -> pd.DataFrame:
    """Animals with a curve and a date: those that still have to grow, the next to be ready first; then the others."""
    rows = context.table("growth")
    dated = rows[rows["ready_on"].notna() & (rows["curve"] != "none")]
    rank = dated["blocked_by"].map({"weight": 0, "nothing": 2}).fillna(1)
    order = dated.assign(_rank=rank).sort_values(["_rank", "ready_on", "animal", "book"], kind="stable")
    return order.drop(columns="_rank")


def _waiting(context: Context) -> dict[str, Picture]:
    """A timeline for each species (and book) of the animals that become ready after today."""
    rows = context.table("growth")
    later = rows[pd.to_datetime(rows["ready_on"]) > pd.Timestamp(context.head.as_of)]
    later = later.sort_values(["species", "book", "ready_on", "animal"], kind="stable")
    groups = later.groupby(["species", "book"], sort=True)
    return {
        f"readiness/{context.subject(book, species)}": Picture(readiness, (own,))
        for (species, book), own in groups
    }


def _route_pictures(context: Context, ways: pd.DataFrame) -> dict[str, Picture]:
    """The ways to the goals, as the first wish has them first; a second way to a goal is 'GOAL, way 2'."""
    lookup, pictures = Lookup(context.tables), {}
    for at in range(len(ways)):
        keys = ways.iloc[at][["book", "goal", "route"]].to_dict()
        picture = Picture(route, (lookup.rows("goal_routes", keys), ways.iloc[[at]]))
        pictures[f"route/{context.way(keys['book'], keys['goal'], keys['route'])}"] = picture
    return pictures


def price_rows(context: Context) -> pd.DataFrame:
    """Prices whose direction can be told, the surest move first and the flat ones last."""
    rows = context.table("price_trends")
    told = rows[rows["direction"].notna() & (rows["direction"] != "too few")]
    order = told.assign(_flat=told["direction"] == "flat")
    return order.sort_values(
        ["_flat", "p", "species", "morph", "currency", "kind", "book"], kind="stable"
    ).drop(columns="_flat")


def _premiums(context: Context) -> dict[str, Picture]:
    """What the genes of each species (book, currency) are worth, the species with the most adverts first."""
    keys = ["book", "species", "currency"]
    groups = context.table("gene_premiums").groupby(keys, sort=True)
    order = sorted(groups, key=lambda group: -group[1]["n"].sum())
    return {f"premium/{context.subject(*key)}": Picture(gene_premiums, (own,)) for key, own in order}


def _ratio_pictures(context: Context, tests: pd.DataFrame) -> dict[str, Picture]:
    classes = Classes(context.table("ratio_classes"))
    rows = {
        context.subject(test.book, test.pairing): classes.of(test) for test in tests.itertuples(index=False)
    }
    return {f"ratio/{name}": Picture(ratio_bars, (own,)) for name, own in rows.items() if len(own)}


_KEYS = {
    "carrier": ["book", "animal", "gene"],
    "growth": ["book", "animal"],
    "price": ["book", "species", "morph", "currency", "kind"],
}


def _pictures(
    kind: str, module: ModuleType, rows: pd.DataFrame, context: Context, *tables: str
) -> dict[str, Picture]:
    """A picture for each row, of the row and of what the tables hold under the row's keys."""
    pictures, lookup = {}, Lookup(context.tables)
    for at in range(len(rows)):
        row = rows.iloc[[at]]
        keys = row.iloc[0][_KEYS[kind]].to_dict()
        own = (lookup.rows(table, keys) for table in tables)
        pictures[f"{kind}/{context.subject(*keys.values())}"] = Picture(module, (row, *own))
    return pictures
