"""Invented animals whose true growth is known: drawn from a population of curves, weighed with scatter."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
import pandas as pd

from pipeline.findings.growth import GrowthFindings, growth_findings
from pipeline.findings.growth.animals import Animal
from pipeline.findings.growth.curves import GOMPERTZ, Curve, Floats, log_weight
from pipeline.findings.growth.readiness import Readiness, met_by_growth, readiness
from pipeline.findings.growth.weighings import PLAIN, Series

SPREAD = np.array([0.12, 0.08, 0.15])
SCATTER = 0.04
BORN = date(2023, 7, 1)
MEAN = {"F": np.log([2800.0, 60.0, 0.75]), "M": np.log([1500.0, 60.0, 0.9])}


@dataclass(frozen=True)
class Grower:
    """An animal, its weighings, and its true parameters."""

    animal: Animal
    series: Series
    truth: Floats
    curve: Curve

    def reaches(self, grams: float) -> float:
        """The true day on which it reaches a weight, infinite if never."""
        days = np.arange(0, 6000, 1.0)
        logs, _ = log_weight(self.truth, self.curve.power, days / 365.25)
        over = np.flatnonzero(logs >= np.log(grams))
        return BORN.toordinal() + days[over[0]] if len(over) else np.inf


def grower(
    name: str, rng: np.random.Generator, days: Sequence[float], curve: Curve = GOMPERTZ, **facts: object
) -> Grower:
    """One animal of species Boa born on BORN, weighed at these ages in days."""
    sex = str(facts.pop("sex", rng.choice(["F", "M"])))
    truth = MEAN[sex] + rng.normal(0, SPREAD)
    at = np.sort(np.asarray(days, dtype=float))
    logs, _ = log_weight(truth, curve.power, at / 365.25)
    weighed = weighings(BORN.toordinal() + at, np.exp(logs + rng.normal(0, SCATTER, len(at))))
    return Grower(boa(name, sex=sex, **facts), weighed, truth, curve)


def boa(name: str, **facts: object) -> Animal:
    """An animal of species Boa, female, born on BORN, unless `facts` say otherwise."""
    usual = {
        "species": "Boa", "sex": "F", "status": "keeping", "born": BORN, "born_year": 2023, "target": 1500.0,
        "months": None, "litters": False, "rested": None, "due": None,
    }  # fmt: skip
    return Animal(id=name, **(usual | facts))


def weighings(days: Floats, grams: Floats) -> Series:
    """Plain weighings, oldest first."""
    first, last = (int(days[0]), int(days[-1])) if len(days) else (None, None)
    return Series(
        days, grams, first, PLAIN, latest=last, all_days=days, fit_days=days, fit_grams=grams,
        fit_rough=np.zeros(len(days)),
    )  # fmt: skip


def weight_ready(fit: object, grams: float) -> Readiness:
    """The answer of a fit for one weight, asked on the day of its last weighing."""
    today = date.fromordinal(fit.last)
    return readiness([met_by_growth("weight", fit, grams)], today, today + timedelta(days=1))


def findings_of(growers: Sequence[Grower], as_of: date, **tables: pd.DataFrame) -> GrowthFindings:
    """The growth findings of a book that holds these animals; `extra` weighings and a `calendar` where given."""
    animals = pd.DataFrame(
        {
            "id": own.animal.id, "sex": own.animal.sex, "born": pd.Timestamp(own.animal.born),
            "born_year": own.animal.born_year, "status": own.animal.status, "species": own.animal.species,
        }
        for own in growers
    ).astype({"born_year": "Int64"})  # fmt: skip
    weighed = [weights_frame(own.animal.id, own.series.days, own.series.grams) for own in growers]
    weights = pd.concat([*weighed, *([tables["extra"]] if "extra" in tables else [])], ignore_index=True)
    species = pd.DataFrame(
        [{"species": "Boa", "female_breeding_weight": 1500.0, "male_breeding_weight": 700.0}]
    )
    empty = pd.DataFrame(
        {"dam": [], **{name: pd.to_datetime([]) for name in ("due_on", "born_on", "rested_on")}}
    )
    return growth_findings(
        animals, species, weights, tables.get("calendar", empty), as_of=as_of, season_starts=1
    )


def weights_frame(animal: str, days: Floats, grams: Floats, state: str | None = None) -> pd.DataFrame:
    """Rows of the Weights sheet."""
    dates = pd.to_datetime([date.fromordinal(int(day)) for day in days])
    return pd.DataFrame(
        {"animal": animal, "date": dates, "date_year": dates.year, "weight": grams, "state": state}
    )
