"""The price of any label, advertised or not, by what its genes fetch; with an interval that says how little is known."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from pipeline.findings.prices.model import AS_USUAL, PriceModel, Setting, effects_of
from pipeline.findings.prices.standings import Feature, features_of
from pipeline.genetics.labels import write_label
from pipeline.genetics.statements import Statement

LEVEL = 0.8


@dataclass(frozen=True)
class Price:
    """What an animal would fetch today, in the model's currency; four in five such prices lie from low to high.

    `adverts` counts offers of that very label; `note` says what the price rests on where that is little.
    """

    price: float
    low: float
    high: float
    adverts: int
    note: str


def prices_of(
    statements: Sequence[Statement], model: PriceModel, setting: Setting = AS_USUAL, level: float = LEVEL
) -> list[Price]:
    """The prices of labels under a model (model.py); by default today, sold (asked where the book has no sale), of the
    commonest age class, the sex not said.

    The interval holds the scatter of single prices, the uncertainty of what the genes are worth, that a label may be
    worth more or less than its genes, and for genes on no advert how far genes differ.
    """
    from scipy.special import stdtrit

    labels = [write_label(statement, model.catalogue) for statement in statements]
    own = [features_of(statement, model.catalogue) for statement in statements]
    middle, told, unseen = effects_of(model, labels, own, setting)
    spread = np.sqrt(told + unseen + model.fit.variance)
    half = float(stdtrit(max(model.fit.freedom, 3.0), (1 + level) / 2)) * spread
    seen = [model.labels.get(label, 0) for label in labels]
    notes = [_note(model, features, many) for features, many in zip(own, seen, strict=True)]
    columns = (np.exp(middle), np.exp(middle - half), np.exp(middle + half))
    return [Price(*row) for row in zip(*(column.tolist() for column in columns), seen, notes, strict=True)]


def _note(model: PriceModel, own: Mapping[Feature, float], seen: int) -> str:
    notes = [] if seen else ["Never advertised as such: priced by its genes."]
    strange = [f"{feature.gene} ({feature.standing})" for feature in own if feature not in model.counts]
    if strange:
        notes.append(f"No advert bears {', '.join(strange)}: taken to be worth what such genes are.")
    torn = [f for f in own if any(other not in own and other != f for other in model.tied.get(f, ()))]
    if torn:
        names = ", ".join(feature.gene for feature in torn)
        notes.append(f"The adverts can't tell what {names} is worth alone.")
    return " ".join(notes)
