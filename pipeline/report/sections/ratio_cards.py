"""A pairing that stands out: its worst test in words and as a chart, and everything known about it below."""

from dataclasses import dataclass
from typing import Any

import pandas as pd

from pipeline.report.context import Context, anchor
from pipeline.report.formats import p_text
from pipeline.report.grid import Grid, columns_of, grid
from pipeline.report.ratio_classes import Classes
from pipeline.report.season_tests import without_echoes
from pipeline.report.verdicts import Verdict, verdict


@dataclass(frozen=True)
class Card:
    """What the template needs of one pairing. `facts` are (term, text) pairs, `grids` the tables folded away."""

    id: str
    book: str
    pairing: str
    species: str
    subject: str
    verdict: Verdict
    meaning: str
    sentence: str
    facts: list[tuple[str, str]]
    figure: int | None
    grids: list[Grid]


def card(tests: pd.DataFrame, classes: Classes, context: Context, *, drawn: bool) -> Card:
    """The card of one pairing from its tests, worst first. Not `drawn`: without figure and tables."""
    worst = next(tests.itertuples(index=False))
    known = verdict(worst.verdict)
    meaning = "" if pd.isna(worst.meaning) else worst.meaning
    return Card(
        id=anchor("pairing", worst.book, worst.pairing),
        book=worst.book,
        pairing=worst.pairing,
        species="" if pd.isna(worst.species) else worst.species,
        subject=_subject(worst),
        verdict=known,
        meaning=meaning or known.means,
        sentence=_sentence(worst, context),
        facts=_facts(worst),
        figure=classes.figure(context.figures, worst) if drawn else None,
        grids=_grids(tests, classes, context) if drawn else [],
    )


def _subject(test: Any) -> str:
    """Which of the pairing's tests the card speaks of: 'clutch 2, Albino'."""
    place = f"clutch {test.clutch:.0f}" if test.scope == "clutch" else "all clutches"
    return f"{place}, {'all genes together' if pd.isna(test.gene) else test.gene}"


def _sentence(test: Any, context: Context) -> str:
    """The card in one line, for the answer at the top."""
    pooled = test.scope == "pairing" and pd.isna(test.gene)
    pairing = f"Pairing {context.of_book(test.pairing, test.book)}"
    start = pairing if pooled else f"{pairing} ({_subject(test)})"
    n = "" if pd.isna(test.n) else f" of {test.n:.0f}"
    if test.verdict == "impossible":
        young = 0 if pd.isna(test.impossible_young) else int(test.impossible_young)
        return f"{start}: {young}{n} young cannot occur by the labels."
    expected = "" if pd.isna(test.expected) else f" from the expected {test.expected}"
    return f"{start}: the young depart{expected} (n = {test.n:.0f}, p {p_text(test.p)}, q {p_text(test.q)})."


def _facts(test: Any) -> list[tuple[str, str]]:
    """Terms and texts, without those that the test leaves open."""
    others = " of the other young" if test.verdict == "impossible" else ""
    facts = [
        ("Tested", _subject(test), True),
        ("Young read", test.n, pd.notna(test.n)),
        ("Expected", test.expected, pd.notna(test.expected)),
        ("Cannot occur, yet seen", test.impossible_young, _some(test.impossible_young)),
        ("Labels read as", test.resolution, pd.notna(test.resolution)),
        (f"p{others}", p_text(test.p), pd.notna(test.p)),
        (f"q{others}", p_text(test.q), pd.notna(test.q)),
        ("Test", test.method, pd.notna(test.method)),
        ("More young to settle it", test.young_to_settle, _some(test.young_to_settle)),
    ]
    return [
        (term, f"{text:.0f}" if isinstance(text, float) else str(text))
        for term, text, known in facts
        if known
    ]


def _some(number: Any) -> bool:
    """Whether a count is known and not none."""
    return bool(pd.notna(number) and number)


def _grids(tests: pd.DataFrame, classes: Classes, context: Context) -> list[Grid]:
    worst = tests.iloc[0]
    name = anchor("of", worst["book"], worst["pairing"])
    tests = without_echoes(tests)
    figures = [classes.figure(context.figures, row) for row in tests.itertuples(index=False)]
    all_tests = grid(
        f"{name}-tests",
        "Every test of this pairing",
        tests,
        columns_of("ratio_tests", _TESTS),
        empty="",
        figures=figures,
    )
    more = (
        ("ratio_resolutions", "Readings of the parents' labels", _RESOLUTIONS),
        ("ratio_parts", "Where the departure comes from", _PARTS),
        ("heterogeneity", "Do the clutches agree?", _HETEROGENEITY),
    )
    grids = [all_tests]
    for table, caption, columns in more:
        rows = context.table(table)
        rows = rows[(rows["book"] == worst["book"]) & (rows["pairing"] == worst["pairing"])]
        if not rows.empty:
            grids.append(grid(f"{name}-{table}", caption, rows, columns_of(table, columns), empty=""))
    return grids


_TESTS = """
    scope   | Counted | words    | | pairing pairing
    clutch  | Clutch  | years    |
    gene    | Gene    | genes    |
    verdict | Verdict | verdicts |
    n       | Young   | counts   | read
    p       | p       | p_values |
    q       | q       | p_values |
"""
_RESOLUTIONS = """
    gene       | Gene | genes |
    scope      | Counted | words | | pairing pairing
    clutch     | Clutch | years |
    resolution | The labels read as | words |
    p          | p | p_values |
    best       | Fits best | yes_no |
"""
_PARTS = """
    part       | Part | words | | pairing pairing
    gene       | Gene | words |
    other_gene | and | words |
    chi_square | Chi-square | numbers |
    df         | df | counts |
    p          | p | p_values |
    recombination | Recombination | percents |
    recombination_low | 95 % from | percents |
    recombination_high | to | percents |
    phase      | Phase | words |
"""
_HETEROGENEITY = """
    gene       | Gene | genes |
    clutches   | Clutches | counts | | pairing pairing
    chi_square_pooled | Chi-square pooled | numbers |
    df_pooled  | df | counts |
    chi_square_heterogeneity | among clutches | numbers |
    df_heterogeneity | df | counts |
    p_heterogeneity | p | p_values |
"""
