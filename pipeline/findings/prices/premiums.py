"""What each gene multiplies the price by, what else moves it, and the adverts that are out of line."""

from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np

from pipeline.findings.prices.model import PriceModel, Term, whole
from pipeline.findings.prices.standings import Feature, Standing

LEVEL = 0.95
FALSE_ALARMS = 0.05
"""Adverts called out of line in a book without any, on average: the level is shared out among all of them."""
_WORDS = {
    "sold": "sold against asked",
    "sex": "female against male",
    "sexed": "sex said against not said",
    "drift": "a year later, by the common drift",
}


def premium_rows(model: PriceModel) -> Iterator[dict[str, Any]]:
    """Rows of gene_premiums: each gene in each standing against the same animal without it, today.

    Two copies are against none, not against one.
    """
    for feature in model.features:
        weights: dict[Term, float] = {}
        standings = [Standing.SHOWS, Standing.TWO] if feature.standing is Standing.TWO else [feature.standing]
        for standing in standings:
            weights[whole(standing)] = weights[Term(standing, Feature(standing, feature.gene))] = 1.0
        yield {
            "species": model.species, "gene": feature.gene, "standing": feature.standing.value, "currency": model.currency,
            "n": model.counts[feature], **_factor(model, weights), "note": _tie(model, feature),
        }  # fmt: skip


def _tie(model: PriceModel, feature: Feature) -> str:
    tied = model.tied[feature]
    others = [f"{other.gene} ({other.standing})" for other in tied if other != feature]
    if others:
        return f"The adverts can't tell it apart from {', '.join(others)}: what each is worth is a guess."
    return "On every advert: there is none without it to compare with." if tied else ""


def factor_rows(model: PriceModel) -> Iterator[dict[str, Any]]:
    """Rows of price_factors: sales against adverts, the sexes, the age classes, and a year."""
    offers = model.offers
    for term in model.terms:
        words = _WORDS.get(term.group)
        if term.group == "age":
            words = f"{_age(term.of)} against {_age(model.usual_age)}"
        if words is None:
            continue
        held = model.fit.design[:, model.place[term]] != 0
        n = len(offers) if term.group == "drift" else int(held.sum())
        yield {
            "species": model.species, "currency": model.currency, "what": words, "n": n, **_factor(model, {term: 1.0}),
        }  # fmt: skip


def _age(age_class: object) -> str:
    return str(age_class) or "age class not said"


def _factor(model: PriceModel, weights: Mapping[Term, float]) -> dict[str, float]:
    """exp of a sum of effects, with its 95 % interval by the robust covariance."""
    from scipy.special import stdtrit

    places = [model.place[term] for term in weights]
    values = np.array(list(weights.values()))
    middle = values @ model.fit.coefficients[places]
    error = np.sqrt(values @ model.covariance[np.ix_(places, places)] @ values)
    half = stdtrit(max(model.fit.freedom, 3.0), (1 + LEVEL) / 2) * error
    factor, low, high = np.exp([middle, middle - half, middle + half])
    return {"factor": float(factor), "factor_low": float(low), "factor_high": float(high)}


def outlier_rows(model: PriceModel) -> Iterator[dict[str, Any]]:
    """Rows of price_outliers: offers that the others, without it, make less than likely, the oddest first."""
    from scipy.special import stdtr, stdtrit

    fit, offers = model.fit, model.offers
    kept = np.maximum(1 - fit.leverage, 1e-6)
    missed = fit.residuals / kept
    spread = model.scale * np.sqrt(1 + fit.leverage / np.maximum(fit.weights, 1e-6) / kept)
    freedom = max(fit.freedom - 1, 3.0)
    chance = 2 * stdtr(freedom, -np.abs(missed) / spread)
    reach = stdtrit(freedom, 1 - FALSE_ALARMS / len(offers) / 2)
    for i in np.argsort(chance, kind="stable"):
        if chance[i] * len(offers) >= FALSE_ALARMS:
            return
        offer = offers.iloc[i]
        expected = float(offer["price"] * np.exp(-missed[i]))
        wide = float(np.exp(reach * spread[i]))
        yield {
            "species": model.species, "morph": offer["morph"], "currency": model.currency, "row": int(offer["row"]),
            "on": offer["day"], "offer": offer["offer"], "price": float(offer["price"]), "expected": expected,
            "low": expected / wide, "high": expected * wide, "times": float(np.exp(missed[i])),
            "note": _likelier(float(np.exp(missed[i]))),
        }  # fmt: skip


def _likelier(times: float) -> str:
    if 7 < times < 14 or 1 / 14 < times < 1 / 7:
        return "About ten times off: is a digit too many or missing?"
    return "Look at the price, the label, the currency and the age class; or it is a special animal."
