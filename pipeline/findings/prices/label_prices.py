"""Prices of labels that the last year did not advertise often enough: of the animals kept, and of their young."""

from typing import Any

import pandas as pd

from pipeline.findings.frames import findings_frame
from pipeline.findings.prices.answer import PriceFindings
from pipeline.findings.prices.worth import GENES, LabelPrices
from pipeline.genetics.collection import Collection, Outcome
from pipeline.genetics.labels import write_label
from pipeline.genetics.statements import Statement
from pipeline.store.tables import LABEL_PRICES

_HERE = ("keeping", "for sale")


def label_prices(collection: Collection, prices: PriceFindings) -> pd.DataFrame:
    """Findings table label_prices of one book, without `book`; the dearest first within a species.

    Only labels that the species' price model (pricing.py) can price and that have no typical price of their own.
    """
    currency = collection.settings.currency.upper()
    rows: list[dict[str, Any]] = []
    for species, labels in _labels(collection).items():
        catalogue = collection.catalogues[species]
        known = LabelPrices(catalogue, currency, prices)
        for label, worth in zip(labels, known.worths(labels), strict=True):
            if worth.source == GENES:
                rows.append(
                    {
                        "species": species, "label": write_label(label, catalogue), "currency": currency,
                        "adverts": worth.adverts, "price": worth.price, "low": worth.low, "high": worth.high,
                        "note": worth.note,
                    }
                )  # fmt: skip
    return findings_frame(
        LABEL_PRICES, sorted(rows, key=lambda row: (row["species"], -row["price"], row["label"]))
    )


def _labels(collection: Collection) -> dict[str, list[Statement]]:
    """The distinct labels of animals kept and of live young, by species."""
    found = [(a.species, a.label) for a in collection.animals.values() if a.status in _HERE and a.label]
    for young in collection.young:
        pairing = collection.pairings.get(young.pairing)
        if pairing and young.label and young.outcome is Outcome.LIVE:
            found.append((pairing.species, young.label))
    labels: dict[str, list[Statement]] = {}
    for species, label in dict.fromkeys(found):
        labels.setdefault(species, []).append(label)
    return labels
