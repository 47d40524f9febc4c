"""Which record is likely wrong: each suspicion as a card with its evidence, its rivals, and what to do next."""

from dataclasses import dataclass

import pandas as pd

from pipeline.report.context import Context, Highlight, anchor
from pipeline.report.formats import odds_text
from pipeline.report.sections.part import Part

_MOST_CARDS = 40
_MOST_HIGHLIGHTS = 4
_QUIET = "No record of the book is likely to be wrong once all of them are weighed together."
_EMPTY = "Nothing to weigh yet: fill the sheets Genes, Animals, Pairings and Hatch results."
_QUESTIONS = {
    "label": "Is the label right?",
    "parentage": "Who is the sire?",
    "gene record": "Is the Genes sheet right?",
    "reading": "Was it read right?",
}


@dataclass(frozen=True)
class Explanation:
    """One bar: its words, its chance in percent (width) and as text."""

    words: str
    percent: float
    chance: str


@dataclass(frozen=True)
class SuspicionCard:
    """What the template needs of one suspicion. `of_likelier` is the chance of the likelier reading, '' where that is as good as
    the chance that the record is wrong."""

    id: str
    kind: str
    question: str
    subject: str
    species: str
    book: str
    recorded: str
    likelier: str
    of_likelier: str
    chance: str
    evidence: str
    next_step: str
    folded: str
    roughly: str
    rivals: list[Explanation]


def suspicions(context: Context) -> Part:
    """A card for each suspicion, the likeliest first."""
    rows = context.table("suspicions").sort_values(["rank", "book"], kind="stable")
    rivals = context.table("suspicion_rivals")
    cards = [_card(row, rivals) for row in rows.head(_MOST_CARDS).itertuples(index=False)]
    looked = len(context.table("carrier_odds")) > 0
    values = {
        "cards": cards,
        "left_out": max(0, len(rows) - _MOST_CARDS),
        "quiet": "" if cards else (_QUIET if looked else _EMPTY),
    }
    return Part(values, tuple(_highlights(cards, len(rows), context)), _QUIET if looked else "")


def _card(row: pd.Series, rivals: pd.DataFrame) -> SuspicionCard:
    own = rivals[(rivals["book"] == row.book) & (rivals["rank"] == row.rank)].sort_values("place")
    return SuspicionCard(
        id=anchor("suspicion", row.book, row.subject, row.rank),
        kind=row.kind,
        question=_QUESTIONS.get(row.kind, ""),
        subject=row.subject,
        species=_text(row.species),
        book=row.book,
        recorded=row.recorded,
        likelier=row.likelier,
        of_likelier=_of_likelier(row, own),
        chance=odds_text(row.probability),
        evidence=row.evidence,
        next_step=row.next_step,
        folded=_text(row.folded),
        roughly="" if row.method == "exact" else _text(row.method),
        rivals=[
            Explanation(one.explanation, round(100 * one.probability, 1), odds_text(one.probability))
            for one in own.itertuples(index=False)
        ],
    )


def _of_likelier(row: pd.Series, rivals: pd.DataFrame) -> str:
    """A sire is 'sired by B16' in the sentence and 'B16' among its rivals."""
    same = rivals["explanation"].isin([row.likelier, row.likelier.removeprefix("sired by ")])
    told = [odds_text(chance) for chance in rivals.loc[same, "probability"].head(1)]
    return "".join(chance for chance in told if chance != odds_text(row.probability))


def _text(value: object) -> str:
    return "" if pd.isna(value) else str(value)


def _highlights(cards: list[SuspicionCard], total: int, context: Context) -> list[Highlight]:
    """The likeliest, and how many more there are."""
    found = [
        Highlight(
            f"{card.kind.capitalize()} of {context.of_book(card.subject, card.book)}: "
            f"likely wrong ({card.chance}); likelier: {card.likelier}{card.of_likelier and f' ({card.of_likelier})'}.",
            card.id,
        )
        for card in cards[:_MOST_HIGHLIGHTS]
    ]
    more = total - _MOST_HIGHLIGHTS
    if more > 0:
        are = "record is" if more == 1 else "records are"
        found.append(Highlight(f"{more} more {are} likely wrong.", "suspicions"))
    return found
