"""What an animal of a label is worth today: last year's typical price where there is one, else by its genes."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from pipeline.findings.prices.answer import PriceFindings
from pipeline.findings.prices.offers import ASKED, BOTH, SOLD
from pipeline.findings.prices.pricing import prices_of
from pipeline.genetics.genes import Catalogue
from pipeline.genetics.labels import write_label
from pipeline.genetics.statements import Statement

TYPICAL, GENES, NONE = "typical", "genes", "none"


@dataclass(frozen=True)
class Worth:
    """The price of one animal and the range that four in five such prices keep to; None where `source` is 'none'.

    `adverts` counts offers of that very label, `note` says what the price rests on.
    """

    source: str = NONE
    price: float | None = None
    low: float | None = None
    high: float | None = None
    adverts: int = 0
    note: str = ""


@dataclass(frozen=True)
class LabelPrices:
    """Prices of labels of one species in one currency."""

    catalogue: Catalogue
    currency: str
    prices: PriceFindings

    def worth(self, label: Statement | None) -> Worth:
        """Last year's typical price of the very label, sold before asked; else its genes' price; else nothing."""
        return self.worths([label])[0]

    def worths(self, labels: Sequence[Statement | None]) -> list[Worth]:
        """The worth of each; many at once take little longer than one."""
        new = [label for label in dict.fromkeys(labels) if label is not None and label not in self._known]
        self._known.update((label, worth) for label in new if (worth := self._typically(label)))
        if others := [label for label in new if label not in self._known]:
            self._known.update(self._by_genes(others).items())
        return [self._known[label] for label in labels]

    def _typically(self, label: Statement) -> Worth | None:
        name = write_label(label, self.catalogue)
        for kind in (BOTH, SOLD, ASKED):
            if row := self._typical.get((name, kind)):
                note = "Asking prices." if kind == ASKED else ""
                return Worth(TYPICAL, row.typical, row.low, row.high, row.n, note)
        return None

    def _by_genes(self, labels: Sequence[Statement]) -> dict[Statement, Worth]:
        model = self.prices.models.get((self.catalogue.species, self.currency))
        if model is None:
            none = Worth(note="No price known, and too few adverts to price it by its genes.")
            return dict.fromkeys(labels, none)
        asked = "" if model.usual_offer == SOLD else " Asking prices."
        return {
            label: Worth(GENES, p.price, p.low, p.high, p.adverts, f"{p.note}{asked}".strip())
            for label, p in zip(labels, prices_of(labels, model), strict=True)
        }

    @cached_property
    def _known(self) -> dict[Statement | None, Worth]:
        return {None: Worth(note="Nobody looked at its genes: no price.")}

    @cached_property
    def _typical(self) -> dict[tuple[str, str], Any]:
        """The rows of price_trends that state a typical price, by label and kind."""
        rows = self.prices.trends
        own = rows[(rows["species"] == self.catalogue.species) & (rows["currency"] == self.currency)]
        return {(row.morph, row.kind): row for row in own[own["typical"].notna()].itertuples()}
