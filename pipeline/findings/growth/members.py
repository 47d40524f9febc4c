"""The animals of one species side by side, as a population of curves takes them."""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from datetime import date
from functools import cached_property

import numpy as np

from pipeline.findings.growth.animals import Animal
from pipeline.findings.growth.curves import Floats
from pipeline.findings.growth.fitting import DAYS_A_YEAR
from pipeline.findings.growth.weighings import Series

_SEXES = {"F": 0.5, "M": -0.5}


@dataclass(frozen=True)
class Members:
    """Animals of one species, one a row.

    `start` (m) is the ordinal day that log_first refers to, `since` (m, n) years since then, `logs` (m, n) log weights in
    g, `used` (m, n) which are there, `rough` (m, n) the variance of those reckoned from a length beyond that of a weight.
    `sex` (m) is 0.5 F, -0.5 M, 0 not known. `span` (m) is the length in years within which birth is not known;
    `first` (m) the log of the first weight where nothing is known of birth and `start` is that weighing, else NaN.
    """

    start: Floats
    since: Floats
    logs: Floats
    used: np.ndarray
    rough: Floats
    sex: Floats
    span: Floats
    first: Floats

    def __len__(self) -> int:
        return len(self.sex)

    def take(self, rows: np.ndarray | slice) -> "Members":
        """The animals at these places, or where a mask of all (m) is true."""
        return Members(*(getattr(self, field.name)[rows] for field in fields(self)))

    @cached_property
    def kinds(self) -> tuple["Members", np.ndarray]:
        """One animal of each kind that is expected alike before it is weighed, by sex and what is known of birth, and the
        place of each animal's kind (m) among these."""
        known = np.stack([self.sex, self.span, np.isnan(self.first)])
        _, rows, kind = np.unique(known, axis=1, return_index=True, return_inverse=True)
        return self.take(rows), kind.ravel()

    def weighed(self) -> "Members":
        """Without what was reckoned from lengths."""
        return replace(self, used=self.used & (self.rough == 0))

    def whitening(self, wander: float, scatter: float) -> Floats:
        """W (m, n, n) under which an animal's deviations from its curve are independent, each of the variance scatter^2.

        A weighing scatters about the animal's own course, and that course wanders from the curve as a Wiener process,
        by `wander` times scatter^2 a year: a good or a bad season is carried on.
        """
        since = np.where(self.used, np.maximum(self.since, 0), 0)
        covariance = np.minimum(since[:, :, None], since[:, None, :]) * wander
        covariance += (1 + self.rough / scatter**2)[..., None] * np.eye(since.shape[1])
        return np.linalg.inv(np.linalg.cholesky(covariance))


def members(animals: Sequence[Animal], series: Sequence[Series]) -> Members:
    """The rows of these animals; an animal without a birth and without a weighing has no place here."""
    starts = [_start(animal, own) for animal, own in zip(animals, series, strict=True)]
    start = np.array(starts, dtype=float)
    counts = np.array([len(own.fit_days) for own in series], dtype=int)
    used = np.arange(max(counts, default=0)) < counts[:, None]
    since, logs, rough = np.zeros((3, *used.shape))
    since[used] = np.concatenate([own.fit_days for own in series])
    since = np.where(used, (since - start[:, None]) / DAYS_A_YEAR, 0)
    logs[used] = np.log(np.concatenate([own.fit_grams for own in series]))
    rough[used] = np.concatenate([own.fit_rough for own in series])
    blind = np.array([animal.born is None and animal.born_year is None for animal in animals])
    return Members(
        start, since, logs, used, rough,
        np.array([_SEXES.get(animal.sex or "", 0.0) for animal in animals]),
        np.array([1.0 if animal.born is None and animal.born_year else 0.0 for animal in animals]),
        np.where(blind, logs[:, 0] if used.shape[1] else 0.0, np.nan),
    )  # fmt: skip


def _start(animal: Animal, series: Series) -> int:
    first = int(series.fit_days[0]) if len(series.fit_days) else None
    if animal.born:
        birth = animal.born.toordinal()
    elif animal.born_year:
        birth = date(animal.born_year, 7, 1).toordinal()
    elif first is not None:
        birth = first
    else:
        raise ValueError(f"animal {animal.id} has neither a birth nor a weighing")
    return birth if first is None else min(birth, first)
