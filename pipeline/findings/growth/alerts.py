"""Weights that want a look: lost, not gained, slipped, not taken for long, or of an animal that was ill.

Loss after laying or birth is none of these. An alert asks for a second look at the scale; what ails an animal a vet says.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np
import pandas as pd

from pipeline.findings.frames import findings_frame, ordinal_days
from pipeline.findings.growth.animals import Animal
from pipeline.findings.growth.curves import PARAMETERS, Floats, log_weight
from pipeline.findings.growth.fitting import DAYS_A_YEAR
from pipeline.findings.growth.population import FIRST, Population
from pipeline.findings.growth.weighings import DOUBTED, NEVER_WEIGHED, PLAIN, Series
from pipeline.findings.shares import in_percent
from pipeline.store.tables import GROWTH_ALERTS

LOSS = 0.1
"""Share of its weight that an animal may lose between two plain weighings."""
LITTER_BEFORE, LITTER_AFTER = 45, 180
"""Days about laying or birth in which a loss is put down to it (common practice, no source)."""
LONG, GAIN = 150, 0.02
"""A stall is no more gain than this share over at least so many days ..."""
FAR = 0.7
"""... of an animal below this share of its kind's grown weight ..."""
SURPRISE = 1.96
"""... that lies so many standard deviations below what its species would have gained from that weight."""
TIMES, SHORTEST = 2.0, 120
"""Not weighed for long: over twice its own and twice the book's usual wait, and over so many days."""
WATCHED = frozenset({"keeping", "on loan"})


@dataclass(frozen=True)
class Watch:
    """What alerts look at. `litters` are ordinal days of laying or birth by dam, `usual` the book's usual wait in days."""

    series: Mapping[str, Series]
    populations: Mapping[str, Population]
    litters: Mapping[str, Floats]
    usual: float
    today: int


def growth_alerts(animals: Sequence[Animal], points: pd.DataFrame, watch: Watch) -> pd.DataFrame:
    """Findings table growth_alerts, without `book`: the slipped weighings of all, the other alerts of animals here."""
    rows = list(_slipped(points))
    for animal in animals:
        if not animal.here:
            continue
        own = watch.series.get(animal.id, NEVER_WEIGHED)
        asked = (
            _ill(animal, own),
            _lost(animal, own, watch) or _stalled(animal, own, watch),
            _unweighed(animal, own, watch),
        )
        rows += filter(None, asked)
    return findings_frame(GROWTH_ALERTS, rows).sort_values(
        ["date", "animal", "kind"], ascending=[False, True, True], ignore_index=True
    )


def litter_days(calendar: pd.DataFrame) -> dict[str, Floats]:
    """Ordinal days on which young came or were due, by dam, from findings.calendar; in no order."""
    days = pd.concat([ordinal_days(calendar[name]) for name in ("born_on", "due_on")]).to_numpy()
    dams = pd.concat([calendar["dam"]] * 2)
    return {
        dam: days[rows][~np.isnan(days[rows])]
        for dam, rows in dams.reset_index(drop=True).groupby(dams.to_numpy()).indices.items()
    }


def usual_wait(points: pd.DataFrame) -> float:
    """The median number of days between two weighings of an animal, of any state; NaN where none was weighed twice."""
    waits = points.groupby("animal")["day"].diff()
    return float(waits[waits > 0].median())


def _alert(animal: str, day: float, kind: str, message: str) -> dict[str, Any]:
    return {"animal": animal, "date": day, "kind": kind, "message": message}


def _slipped(points: pd.DataFrame) -> Iterator[dict[str, Any]]:
    for row in points[points["state"] == DOUBTED].itertuples(index=False):
        yield _alert(
            row.animal, row.day, "likely slip",
            f"{_grams(row.weight_g)} does not go with the weighings beside it: {row.cause}? {_grams(row.likelier_g)} would fit. "
            "It is kept out of the curve; correct the cell if you agree.",
        )  # fmt: skip


def _ill(animal: Animal, own: Series) -> dict[str, Any] | None:
    if own.latest_state != "ill" or own.latest is None:
        return None
    return _alert(
        animal.id, own.latest, "ill", "Ill at its latest weighing: a reptile vet decides what comes next."
    )


def _lost(animal: Animal, own: Series, watch: Watch) -> dict[str, Any] | None:
    if len(own.days) < 2 or own.grams[-1] >= (1 - LOSS) * own.grams[-2]:
        return None
    if _littered(animal, own.days[-2], own.days[-1], own, watch):
        return None
    share = 1 - own.grams[-1] / own.grams[-2]
    return _alert(
        animal.id, own.days[-1], "weight lost",
        f"Lost {in_percent(share)} in {own.days[-1] - own.days[-2]:.0f} days: {_grams(own.grams[-1])} after {_grams(own.grams[-2])} on "
        f"{_iso(own.days[-2])}. Weigh it again; if the loss holds or it looks unwell, a reptile vet decides.",
    )  # fmt: skip


def _littered(animal: Animal, since: float, until: float, own: Series, watch: Watch) -> bool:
    """Whether she laid or gave birth about then: by the calendar, or by a weighing in another state since."""
    days = watch.litters.get(animal.id, np.empty(0))
    about = (days > since - LITTER_BEFORE) & (days < until + LITTER_BEFORE)
    after = (days <= until) & (days > until - LITTER_AFTER)
    return bool((about | after).any()) or any(since <= day <= until + LITTER_BEFORE for day in own.bred)


def _stalled(animal: Animal, own: Series, watch: Watch) -> dict[str, Any] | None:
    population = watch.populations.get(animal.species)
    if population is None or not len(own.days) or own.latest_state != PLAIN:
        return None
    now = own.grams[-1]
    level = (own.days <= own.days[-1] - LONG) & (own.grams >= now / (1 + GAIN))
    mean, covariance, grown = _kind(animal, population)
    if not level.any() or now > FAR * grown:
        return None
    since, before = own.days[np.argmax(level)], own.grams[np.argmax(level)]
    if _littered(animal, since, own.days[-1], own, watch):
        return None
    gain, error = expected_gain(
        population, mean, covariance, float(np.log(before)), (own.days[-1] - since) / DAYS_A_YEAR
    )
    if gain <= 0 or np.log(now / before) > gain - SURPRISE * error:
        return None
    return _alert(
        animal.id, own.days[-1], "no gain",
        f"{_grams(now)} after {_grams(before)} on {_iso(since)}: no gain in {own.days[-1] - since:.0f} days, where "
        f"{animal.species} of its weight gain about {in_percent(np.expm1(gain))}. A pause before a shed or over winter is common; "
        "if it lasts, ask a reptile vet rather than feed harder.",
    )  # fmt: skip


def _kind(animal: Animal, population: Population) -> tuple[Floats, Floats, float]:
    """The mean parameters of its species and sex, their spread, and the grown weight in g."""
    mean = population.of_sex({"F": 0.5, "M": -0.5}.get(animal.sex or "", 0.0))
    return mean, population.effects.spread, float(np.exp(mean[PARAMETERS.log_grown]))


def expected_gain(
    population: Population, mean: Floats, covariance: Floats, log_grams: float, years: float
) -> tuple[float, float]:
    """Gain of log weight over so many years from a weight, by the species' curve, and its standard deviation among animals
    with two weighings' scatter and the wandering in between."""
    at = mean.copy()
    at[FIRST] = log_grams
    logs, jacobian = log_weight(at, population.curve.power, np.array([years]))
    slope = jacobian[0].copy()
    slope[FIRST] = 0.0
    variance = slope @ covariance @ slope
    variance += population.scatter**2 * (1 + jacobian[0, FIRST] ** 2 + population.wander * years)
    return float(logs[0] - log_grams), float(np.sqrt(variance))


def _unweighed(animal: Animal, own: Series, watch: Watch) -> dict[str, Any] | None:
    if animal.status not in WATCHED or own.latest is None or np.isnan(watch.usual):
        return None
    waited = watch.today - own.latest
    waits = np.diff(own.all_days)[-2:]
    rhythm = float(max(waits, default=watch.usual))
    if waited <= max(TIMES * rhythm, TIMES * watch.usual, SHORTEST):
        return None
    before = "before that" if len(waits) else "others here"
    return _alert(
        animal.id,
        own.latest,
        "not weighed",
        f"Last weighed {waited} days ago ({_iso(own.latest)}); {before} every {rhythm:.0f} days or so.",
    )


def _grams(value: float) -> str:
    return f"{value:,.0f} g" if value >= 20 else f"{value:,.2g} g"


def _iso(day: float) -> str:
    return date.fromordinal(int(day)).isoformat()
