"""Do the young fit the labels? What stands out this season as cards, then every pairing, then every gene."""

from collections import Counter

import pandas as pd

from pipeline.report.context import Context, Highlight, anchor
from pipeline.report.grid import Grid, columns_of, grid
from pipeline.report.ratio_classes import Classes
from pipeline.report.season_tests import pooled, season_tests, without_echoes
from pipeline.report.sections.part import Part, counted, listed
from pipeline.report.sections.ratio_cards import Card, card
from pipeline.report.verdicts import STANDS_OUT, VERDICTS

_MOST_CARDS = 40
_MOST_HIGHLIGHTS = 3
_QUIET = "No clutch and no gene is off its expected ratio beyond chance."
_GENES = {"impossible": "Genes of which some young cannot occur", "departs": "Genes off their expected ratio"}
_VERBS = {"fits": "fit", "departs": "depart"}
_EMPTY = "No young to test yet: fill the sheets Genes, Animals, Pairings and Hatch results."
_UNREAD = (
    "Nobody looked at young of this season: fill Genes on the sheet Hatch results, for the normal ones too."
)


def ratios(context: Context) -> Part:
    """Cards for the season's pairings that stand out, and the tables behind them."""
    tests = season_tests(context)
    now, classes = tests.now, Classes(context.table("ratio_classes"))
    cards = _cards(now, classes, context)
    shown = {(one.book, one.pairing): one.id for one in cards}
    values = {
        "cards": cards[:_MOST_CARDS],
        "left_out": max(0, len(cards) - _MOST_CARDS),
        "tally": _tally(now),
        "pairings": _pairings(now, classes, context, shown, empty=_UNREAD if len(tests.before) else _EMPTY),
        "by_gene": int(pooled(now)["gene"].notna().sum()),
        "details": _details(now, classes, context),
        "before": _before(tests.before, context),
        "genes": _genes(tests.genes, classes, context),
    }
    return Part(values, _highlights(cards, tests.genes, now, context), _QUIET if len(now) else "")


def _cards(now: pd.DataFrame, classes: Classes, context: Context) -> list[Card]:
    striking = now[now["verdict"].isin([*STANDS_OUT, "strained"])]
    keys = striking.drop_duplicates(["book", "pairing"])[["book", "pairing"]]
    own = dict(list(now.groupby(["book", "pairing"], sort=False)))
    return [
        card(own[key], classes, context, drawn=number < _MOST_CARDS)
        for number, key in enumerate(keys.itertuples(index=False, name=None))
    ]


def _tally(now: pd.DataFrame) -> list[tuple[str, int]]:
    """How many of the season's pairings have each verdict, in the order the page explains them."""
    found = Counter(pooled(now)["verdict"])
    return [(one.word, found[one.word]) for one in VERDICTS if found[one.word]]


_PAIRING = "pairing | Pairing | words |"
_GENE = "\n gene | Gene | genes |"
_COLUMNS = """
    verdict     | Verdict  | verdicts |
    species     | Species  | brief    |
    n           | Young    | counts   | read | {}
    expected    | Expected | prose    |
    p           | p        | p_values |
    q           | q        | p_values |
    method      | Test     | brief    |
    young_to_settle | To settle it | counts | more young
"""


def _pairings(
    now: pd.DataFrame, classes: Classes, context: Context, shown: dict[tuple[str, str], str], empty: str
) -> Grid:
    rows = pooled(now)
    gene = _GENE if rows["gene"].notna().any() else ""
    columns = context.columns("ratio_tests", _PAIRING + gene + _COLUMNS.format(""))
    keys = zip(rows["book"], rows["pairing"], strict=True)
    ids = ["" if key in shown else anchor("pairing", *key) for key in keys]
    figures = [classes.figure(context.figures, row) for row in rows.itertuples(index=False)]
    caption = "Every pairing of the season, its clutches together"
    return grid("pairings", caption, rows, columns, empty=empty, ids=ids, figures=figures)


def _details(now: pd.DataFrame, classes: Classes, context: Context) -> Grid:
    """Clutch by clutch and gene by gene, without what the table of pairings says already."""
    rows = without_echoes(now).drop(index=pooled(now).index)
    columns = context.columns(
        "ratio_tests",
        """
        pairing | Pairing | words    |
        clutch  | Clutch  | years    |
        gene    | Gene    | genes    |
        verdict | Verdict | verdicts |
        n       | Young   | counts   | read
        expected | Expected | prose   |
        p       | p       | p_values |
        q       | q       | p_values |
        """,
    )
    return grid("tests", "Clutch by clutch and gene by gene", rows, columns, empty=_EMPTY)


def _before(before: pd.DataFrame, context: Context) -> Grid:
    columns = (
        *context.columns("ratio_tests", _PAIRING),
        *columns_of("calendar", "season | Season | years |"),
        *columns_of("ratio_tests", _COLUMNS.format("")),
    )
    return grid(
        "earlier",
        "Pairings of the other seasons",
        pooled(before),
        columns,
        empty="No other season on record.",
    )


def _genes(genes: pd.DataFrame, classes: Classes, context: Context) -> Grid:
    columns = columns_of("ratio_tests", f"gene | Gene | words |{_COLUMNS.format('crosses gene')}")
    figures = [classes.figure(context.figures, row) for row in genes.itertuples(index=False)]
    ids = [anchor("gene", *key) for key in zip(genes["book"], genes["species"], genes["gene"], strict=True)]
    caption = "Each gene across the collection, all seasons"
    return grid("genes", caption, genes, columns, empty=_EMPTY, ids=ids, figures=figures)


def _highlights(
    cards: list[Card], genes: pd.DataFrame, now: pd.DataFrame, context: Context
) -> tuple[Highlight, ...]:
    loud = [one for one in cards if one.verdict.word in STANDS_OUT]
    found = [Highlight(one.sentence, one.id) for one in loud[:_MOST_HIGHLIGHTS]]
    if len(loud) > _MOST_HIGHLIGHTS:
        more = counted(len(loud) - _MOST_HIGHLIGHTS, "more pairing")
        found.append(Highlight(f"{more} of the season to look at.", "ratios"))
    for word in STANDS_OUT:
        names = listed(
            [
                context.of_book(f"{row.gene} ({row.species})", row.book)
                for row in genes[genes["verdict"] == word].itertuples()
            ]
        )
        if names:
            found.append(Highlight(f"{_GENES[word]}, all crosses together: {names}.", "genes", urgent=False))
    tally = _tally(now)
    if tally:
        words = ", ".join(
            f"{count:,} {_VERBS.get(word, word) if count > 1 else word}" for word, count in tally
        )
        total = sum(count for _, count in tally)
        found.append(
            Highlight(f"{counted(total, 'pairing')} with young counted: {words}.", "ratios", urgent=False)
        )
    return tuple(found)
