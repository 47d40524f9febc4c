"""What a label is worth by its genes: one shrunken hedonic regression of log price for each species and currency.

The columns, and what draws each toward zero:
- the base price, asked against sold, the sexes, the age classes and a straight common drift: wide priors, as good as free;
- what a gene of a standing (shows, two copies, het, line-bred) is worth on the whole, and how each single gene departs
  from that: a gene on two adverts stays near what such genes fetch, one on fifty says its own;
- how each shown gene's price drifts apart from the common one, lately and before that;
- bends of the common drift, one a year;
- what each label fetches beyond its genes, for genes are not worth the same in every company.
Time is years from today, so the effects are those of today.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import Any

import numpy as np
import pandas as pd

from pipeline.findings.prices.hedonic import Group, Regression, shrunken
from pipeline.findings.prices.offers import ASKED, SOLD
from pipeline.findings.prices.robust import Floats
from pipeline.findings.prices.standings import Feature, Standing, features_of, inseparable
from pipeline.genetics.genes import Catalogue
from pipeline.genetics.labels import LabelError, read_label

FEWEST_OFFERS, FEWEST_LABELS = 12, 3
DAYS_A_YEAR = 365.25
LATELY = 2.5
"""Years in which a gene's own drift is the one that counts today; what it did before may differ."""
MOST_BENDS = 8
AGES = ("hatchling", "juvenile", "subadult", "adult", "")
"""Against the usual one of the book, the base; '' is an advert that doesn't say."""
SPREADS = {
    "base": 10.0, "sold": 0.5, "sex": 0.5, "sexed": 0.5, "age": 1.0, "drift": 0.5,
    "any shows": 1.0, "any two copies": 0.7, "any het": 0.3, "any line-bred": 0.3,
    Standing.SHOWS: 0.5, Standing.TWO: 0.5, Standing.HET: 0.2, Standing.LINE: 0.3,
    "own drift": 0.1, "own earlier drift": 0.1, "bend": 0.1, "label": 0.15,
}  # fmt: skip
"""Standard deviations of log price (a year, for drifts) that the priors start from."""
LEARNED = {
    Standing.SHOWS,
    Standing.TWO,
    Standing.HET,
    Standing.LINE,
    "own drift",
    "own earlier drift",
    "bend",
    "label",
}


@dataclass(frozen=True)
class Term:
    """One column: its group, and what of the group (a feature, a standing, an age class, a label, years back)."""

    group: str
    of: Any = None


def whole(standing: Standing) -> Term:
    """The column of what genes of a standing are worth on the whole."""
    return Term(f"any {standing}", standing)


@dataclass(frozen=True)
class Setting:
    """How an animal is offered: years from today (0 or less), asked or sold, sex ('M', 'F', '') and age class.

    None takes what is usual in the book: sales where it has any, its commonest age class.
    """

    years: float = 0.0
    offer: str | None = None
    sex: str = ""
    age_class: str | None = None


AS_USUAL = Setting()


@dataclass(frozen=True)
class PriceModel:
    """The fit of one species and currency, in `terms`. `offers` are those it rests on, with their `years` from today.

    `spreads` are the priors' standard deviations as they came out, by group.
    """

    species: str
    currency: str
    catalogue: Catalogue
    as_of: date
    offers: pd.DataFrame
    features: tuple[Feature, ...]
    terms: tuple[Term, ...]
    fit: Regression
    spreads: dict[str, float]

    @cached_property
    def covariance(self) -> Floats:
        """Of the coefficients (terms x terms), robust to unequal scatter (HC3)."""
        return self.fit.covariance()

    @cached_property
    def place(self) -> dict[Term, int]:
        """Where each term stands among the coefficients."""
        return {term: index for index, term in enumerate(self.terms)}

    @cached_property
    def usual_offer(self) -> str:
        """'sold' where the offers have sales at all, else 'asked'."""
        return SOLD if (self.offers["offer"] == SOLD).any() else ASKED

    @cached_property
    def usual_age(self) -> str:
        """The commonest age class of the offers, against which the others are held."""
        return _usual_age(self.offers)

    @cached_property
    def labels(self) -> dict[str, int]:
        """Offers of each label."""
        return self.offers["morph"].value_counts().to_dict()

    @cached_property
    def counts(self) -> dict[Feature, int]:
        """Offers that bear each feature."""
        own = {label: features_of(read_label(label, self.catalogue), self.catalogue) for label in self.labels}
        return {f: sum(n for label, n in self.labels.items() if f in own[label]) for f in self.features}

    @cached_property
    def tied(self) -> dict[Feature, list[Feature]]:
        """The features that the labels can't tell each from; itself among them where it is on every label."""
        own = [features_of(read_label(label, self.catalogue), self.catalogue) for label in self.labels]
        table = np.array([[one.get(f, 0.0) for f in self.features] for one in own])
        groups = inseparable(table.reshape(len(own), len(self.features)))
        return {f: [self.features[j] for j in tied] for f, tied in zip(self.features, groups, strict=True)}

    @cached_property
    def scale(self) -> float:
        """The residual standard deviation of a log price."""
        return float(np.sqrt(self.fit.variance))


def price_model(
    offers: pd.DataFrame, species: str, currency: str, catalogue: Catalogue, as_of: date
) -> PriceModel | None:
    """The model of the offers (offers.py) of one species and currency; None where they are too few, or all of a kind.

    It takes twelve offers of three labels that can be read.
    """
    looked = {label: _features(label, catalogue) for label in offers["morph"].unique()}
    read = {label: own for label, own in looked.items() if own is not None}
    offers = offers[offers["morph"].isin(read)]
    if len(offers) < FEWEST_OFFERS or offers["morph"].nunique() < FEWEST_LABELS:
        return None
    offers = offers.assign(years=(offers["day"] - as_of.toordinal()) / DAYS_A_YEAR).reset_index(drop=True)
    features = tuple(sorted({f for label in offers["morph"].unique() for f in read[label]}))
    terms = tuple(_terms(offers, features))
    columns = {name: offers[name].to_numpy() for name in ("years", "offer", "sex", "age_class", "morph")}
    which, labels = pd.factorize(offers["morph"])
    design = _design(columns, [read[label] for label in labels], which, terms)
    names = list(dict.fromkeys(term.group for term in terms))
    groups = [
        Group(
            np.array([i for i, term in enumerate(terms) if term.group == name]),
            SPREADS[name],
            name in LEARNED,
        )
        for name in names
    ]
    fit, spreads = shrunken(design, np.log(offers["price"].to_numpy()), groups)
    return PriceModel(
        species,
        currency,
        catalogue,
        as_of,
        offers,
        features,
        terms,
        fit,
        dict(zip(names, spreads, strict=True)),
    )


def _features(label: str, catalogue: Catalogue) -> dict[Feature, float] | None:
    try:
        return features_of(read_label(label, catalogue), catalogue)
    except LabelError:
        return None


def _usual_age(offers: pd.DataFrame) -> str:
    counts = offers["age_class"].value_counts()
    return max(AGES, key=lambda age: counts.get(age, 0))


def _terms(offers: pd.DataFrame, features: Sequence[Feature]) -> list[Term]:
    bends = min(int(-offers["years"].min()), MOST_BENDS)
    shown = [f for f in features if f.standing in (Standing.SHOWS, Standing.LINE)]
    ages, sexes = set(offers["age_class"]) - {_usual_age(offers)}, set(offers["sex"])
    return [
        Term("base"), Term("drift"),
        *([Term("sold")] if offers["offer"].nunique() > 1 else []),
        *([Term("sex")] if {"F", "M"} <= sexes else []),
        *([Term("sexed")] if "" in sexes and len(sexes) > 1 else []),
        *(Term("age", age) for age in AGES if age in ages),
        *(whole(standing) for standing in dict.fromkeys(f.standing for f in features)),
        *(Term(f.standing, f) for f in features),
        *(Term("own drift", f) for f in shown),
        *(Term("own earlier drift", f) for f in shown),
        *(Term("bend", back) for back in range(1, bends + 1)),
        *(Term("label", label) for label in sorted(offers["morph"].unique())),
    ]  # fmt: skip


def _design(
    offers: Mapping[str, np.ndarray],
    labels: Sequence[Mapping[Feature, float]],
    which: np.ndarray,
    terms: Sequence[Term],
) -> Floats:
    """One row an offer, one column a term. `offers` has morph, years, offer, sex and age_class, one value each an offer;
    `which` is each offer's place in `labels`."""
    wanted = {term.of for term in terms if isinstance(term.of, Feature)}
    held = {feature: np.array([own.get(feature, 0.0) for own in labels])[which] for feature in wanted}
    sums = {
        s: np.array([sum(v for f, v in own.items() if f.standing == s) for own in labels])[which]
        for s in Standing
    }
    design = np.empty((len(which), len(terms)))
    for place, term in enumerate(terms):
        design[:, place] = _column(term, offers, held, sums)
    return design


def _column(
    term: Term,
    offers: Mapping[str, Any],
    held: Mapping[Feature, Any],
    sums: Mapping[Standing, Any],
) -> Any:
    """The term's column, one value each an offer, or one for all."""
    years = offers["years"]
    match term.group:
        case "base":
            return 1.0
        case "drift":
            return years
        case "bend":
            return np.minimum(years + term.of, 0)
        case "sold":
            return offers["offer"] == SOLD
        case "sex":
            return (offers["sex"] == "F") / 2 - (offers["sex"] == "M") / 2
        case "sexed":
            return offers["sex"] != ""
        case "age":
            return offers["age_class"] == term.of
        case "label":
            return offers["morph"] == term.of
        case "own drift":
            return held[term.of] * np.maximum(years, -LATELY)
        case "own earlier drift":
            return held[term.of] * np.minimum(years + LATELY, 0)
    return sums[term.of] if isinstance(term.of, Standing) else held[term.of]


def effects_of(
    model: PriceModel, labels: Sequence[str], own: Sequence[Mapping[Feature, float]], setting: Setting
) -> tuple[Floats, Floats, Floats]:
    """Log price of an animal of each label, its variance by the fit, and the variance of what no offer has shown.

    Each has one entry a label. `own` are the labels' features. What no offer has shown is the label itself, and genes that
    none bears in that standing.
    """
    usual = {"offer": model.usual_offer, "age_class": model.usual_age}
    offer = usual | {name: value for name, value in vars(setting).items() if value is not None}
    offers = {name: np.full(len(labels), value) for name, value in offer.items()}
    offers["morph"] = np.array(labels, dtype=object)
    design = _design(offers, own, np.arange(len(labels)), model.terms)
    told = ((design @ model.covariance) * design).sum(axis=1)
    unseen = [_unseen(model, label, features) for label, features in zip(labels, own, strict=True)]
    return design @ model.fit.coefficients, told, np.array(unseen, dtype=float)


def _unseen(model: PriceModel, label: str, own: Mapping[Feature, float]) -> float:
    variance = model.spreads["label"] ** 2 if label not in model.labels else 0.0
    for feature, share in own.items():
        if feature not in model.counts:
            standing = feature.standing
            spread = model.spreads.get(standing, SPREADS[standing])
            known = any(other.standing == standing for other in model.features)
            shared = 0.0 if known else SPREADS[whole(standing).group] ** 2
            variance += share**2 * (spread**2 + shared)
    return variance
