"""Invented price books whose truth is known: genes, labels, drifts and scatter drawn from a stated market."""

from dataclasses import dataclass
from datetime import date
from itertools import combinations

import numpy as np
import pandas as pd

from pipeline.genetics.genes import Catalogue, Gene, Inheritance

AS_OF = date(2026, 6, 1)
SPECIES = "Common boa"


@dataclass(frozen=True)
class Market:
    """`worth` is the log price of each gene, `catalogue` its genes, `prices` records as the store hands them on."""

    catalogue: Catalogue
    worth: dict[str, float]
    prices: pd.DataFrame
    extra: dict[str, float]
    base: float


def catalogue(count: int) -> Catalogue:
    """Genes G0 (recessive), G1 (incomplete dominant), G2 (recessive) and so on."""
    kinds = (Inheritance.RECESSIVE, Inheritance.INCOMPLETE)
    return Catalogue(SPECIES, tuple(Gene(f"G{i}", kinds[i % 2], f"G{i}") for i in range(count)))


def market(
    rng: np.random.Generator, *, genes: int = 6, offers: int = 120, scatter: float = 0.15, labels: int = 12,
    beyond: float = 0.1, years: float = 5.0, season: float = 0.0, heavy: bool = False,
) -> Market:  # fmt: skip
    """A market of labels of up to three genes; `beyond` is what a label is worth beside its genes (standard deviation).

    `season` is added to log price in April to June, `heavy` makes the scatter Student's t with three degrees.
    """
    names = [f"G{i}" for i in range(genes)]
    worth = dict(zip(names, rng.normal(0.5, 0.4, genes), strict=True))
    own = dict(zip(names, rng.normal(0, 0.06, genes), strict=True))
    pool = [c for size in (1, 2, 3) for c in combinations(names, size)]
    chosen = [(), *(pool[i] for i in rng.permutation(len(pool))[: labels - 1])]
    extra = {" ".join(label) or "Normal": rng.normal(0, beyond) for label in chosen}
    on = np.sort(rng.uniform(-years, 0, offers))
    day = pd.Timestamp(AS_OF) + pd.to_timedelta((on * 365.25).round(), unit="D")
    which = rng.integers(0, len(chosen), offers)
    sold = rng.random(offers) < 0.3
    noise = rng.standard_t(3, offers) / np.sqrt(3) if heavy else rng.normal(size=offers)
    log = 4.0 - 0.08 * on + scatter * noise + np.where(sold, -0.15, 0.0)
    log += season * np.isin(day.month, (4, 5, 6))
    log += [sum(worth[g] + own[g] * t for g in chosen[i]) + extra[" ".join(chosen[i]) or "Normal"] for i, t in zip(which, on, strict=True)]  # fmt: skip
    prices = pd.DataFrame(
        {
            "row": np.arange(2, offers + 2), "date": day, "date_year": day.year, "species": SPECIES,
            "genes": [" ".join(chosen[i]) or "Normal" for i in which], "sex": rng.choice(["M", "F"], offers),
            "age_class": rng.choice(["hatchling", "juvenile"], offers), "price": np.exp(log), "currency": None,
            "kind": np.where(sold, "sold", "asked"),
        }
    )  # fmt: skip
    return Market(catalogue(genes), worth, prices, extra, 4.0)
