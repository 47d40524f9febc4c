"""A label against the odds, and how many further young would settle an open het."""

from math import ceil, log

from pipeline.genetics.carriers.odds import CarrierOdds, claimed_chance, least_for, trade_label
from pipeline.genetics.genes import Gene, Inheritance
from pipeline.genetics.statements import Statement

FAIR, TOO_MUCH, TOO_LITTLE = "fair", "too much", "too little"
PARTNERS = {"visual": 1 / 2, "het": 1 / 4}
"""The share of young that shows a recessive gene where one parent is het and the other is this."""
SURE = (0.95, 0.99)
_SEEN = 0.01
"""With two copies likelier than this an animal would be seen to show the gene, or ought to be: no case for a test cross."""
_STEPS = ("", "50% het", "66% het", "100% het")


def says(entry: CarrierOdds, label: Statement | None) -> str:
    """Whether the book's label of one gene is fair, claims too much or too little; '' where there are no odds.

    An animal that shows a gene, or shows it in two copies, claims that; one that names no gene claims nothing.
    """
    carries = entry.p_one + entry.p_two
    if carries != carries:
        return ""
    hidden = entry.label in _STEPS
    if label is not None and any(shown.gene == entry.gene for shown in label.shows):
        return TOO_MUCH if hidden else FAIR
    if not hidden:
        return TOO_LITTLE
    claim = claimed_chance(label, entry.gene)
    if claim is False:
        return FAIR if entry.label == "" else TOO_LITTLE
    if carries < least_for(claim):
        return TOO_MUCH
    least = "50% het" if claim is None else trade_label(float(claim))
    return TOO_LITTLE if _STEPS.index(entry.label) > _STEPS.index(least) else FAIR


def further_young(entry: CarrierOdds, gene: Gene) -> dict[str, int | None]:
    """Columns on_visual_95 ... on_het_99 of carrier_odds; all None where no test cross is called for.

    That is: the animal is settled, may show the gene, or the gene is not a plain recessive one.
    """
    plain = gene.inheritance is Inheritance.RECESSIVE and not gene.sex_linked
    carries = entry.p_one + entry.p_two
    asked = plain and entry.settled == "open" and entry.p_two < _SEEN and carries == carries
    return {
        f"on_{partner}_{100 * sure:.0f}": young_to_rule_out(carries, share, sure) if asked else None
        for partner, share in PARTNERS.items()
        for sure in SURE
    }


def young_to_rule_out(carries: float, share: float, sure: float) -> int:
    """The least n of young, none showing, after which the animal is no carrier with probability `sure`.

    Bayes' rule: the odds p / (1 - p) shrink by the factor 1 - share with each young that does not show the gene, share
    being 1/2 of a visual partner, 1/4 of a het one. One that does show it proves the carrier. Readings are taken as right.
    """
    if carries <= 1 - sure:
        return 0
    wanted = log((1 - sure) / sure) - log(carries / (1 - carries))
    return ceil(wanted / log(1 - share) - 1e-9)
