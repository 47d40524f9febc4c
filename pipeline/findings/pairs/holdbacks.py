"""Which young to keep for the goals, and what the rest may be called and fetch."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import pandas as pd

from pipeline.findings.frames import findings_frame
from pipeline.findings.pairs.expected import Species
from pipeline.findings.pairs.goals import Goal, nearness, wanted_copies
from pipeline.findings.pairs.spaces import Groups, Odds
from pipeline.findings.pairs.words import percent
from pipeline.findings.pairs.young import Youngster
from pipeline.genetics.genes import SEXES, Sex
from pipeline.genetics.labels import write_label
from pipeline.store.tables import HOLDBACKS

PER_SEX = 2
"""Young kept for a goal, of each sex: one, and one in case it fails."""
NEARER = 0.02
"""A young must be so much nearer a goal than any grown animal of its sex."""
_WORDS: Mapping[Sex, str] = {"F": "female", "M": "male"}


@dataclass(frozen=True)
class Grown:
    """A grown animal that is kept."""

    id: str
    species: str
    sex: Sex
    odds: Odds


@dataclass(frozen=True)
class _Standing:
    """How a young stands toward one goal: its nearness, the nearest grown animal of its sex, and whether it is kept for it."""

    goal: Goal
    near: float
    best: Grown | None
    best_near: float
    kept: bool


def holdbacks(kinds: Mapping[str, Species], young: Sequence[Youngster], grown: Sequence[Grown]) -> pd.DataFrame:
    """Findings table holdbacks without `book`: those to keep first, then the rest, each by species, goal and nearness.

    A young is kept for a goal where it is nearer it than every grown animal of its sex that is kept, and among the two
    nearest young of that sex; one of unknown sex stands for either.
    """
    standings: dict[int, list[_Standing]] = {i: [] for i in range(len(young))}
    for species in kinds.values():
        for goal in species.goals:
            for place, standing in _standings(goal, species.groups, young, grown):
                standings[place].append(standing)
    rows = [_row(kinds[one.species], one, standings[i]) for i, one in enumerate(young)]
    rows.sort(key=lambda r: (r["keep"] != "keep", r["species"], r["goal"] or "", -(r["nearness"] or 0), r["animal"] or "~", r["pairing"] or ""))
    return findings_frame(HOLDBACKS, rows)


def expected_nearness(goal: Goal, groups: Groups, odds: Odds, sex: Sex | None) -> float:
    """How near an animal is to a goal as its odds have it (0..1)."""
    wanted = wanted_copies(goal, groups.catalogue.loci)
    pairs = zip(groups.spaces, odds, strict=True)
    return float(sum(own @ nearness(wanted, space, space.kind(sex)) for space, own in pairs))


def _standings(
    goal: Goal, groups: Groups, young: Sequence[Youngster], grown: Sequence[Grown]
) -> list[tuple[int, _Standing]]:
    near = {
        i: expected_nearness(goal, groups, y.odds, y.sex) for i, y in enumerate(young) if y.species == goal.species
    }
    best: dict[Sex, tuple[float, Grown | None]] = {}
    kept: set[int] = set()
    for sex in SEXES:
        adults = [(expected_nearness(goal, groups, a.odds, sex), a) for a in grown if (a.species, a.sex) == (goal.species, sex)]
        best[sex] = max(adults, key=lambda one: (one[0], one[1].id), default=(0.0, None))
        nearer = sorted((i for i in near if young[i].sex in (sex, None) and near[i] > best[sex][0] + NEARER), key=lambda i: (-round(near[i], 2), i))
        left = PER_SEX
        for i in nearer:
            if left > 0:
                kept.add(i)
                left -= young[i].count
    found = []
    for i, own in near.items():
        sexes = (young[i].sex,) if young[i].sex else SEXES
        best_near, adult = min((best[sex] for sex in sexes), key=lambda one: one[0])
        found.append((i, _Standing(goal, own, adult, best_near, i in kept)))
    return found


def _row(species: Species, one: Youngster, standings: Sequence[_Standing]) -> dict[str, Any]:
    served = max(standings, key=lambda s: (s.kept, s.near * s.goal.weight, s.near), default=None)
    near = served if served and served.near > NEARER else None
    worth = species.prices.worth(one.label)
    return {
        "species": one.species, "animal": one.animal or None, "pairing": one.pairing, "sex": one.sex, "count": one.count,
        "keep": "keep" if served and served.kept else "may go", "goal": near.goal.name if near else None,
        "nearness": near.near if near else None, "best_here": near.best_near if near and near.best else None,
        "label": write_label(one.label, species.groups.catalogue), "price": worth.price, "price_low": worth.low,
        "price_high": worth.high, "currency": species.prices.currency, "why": _why(species, one, near),
    }  # fmt: skip


def _why(species: Species, one: Youngster, near: _Standing | None) -> str:
    if not species.goals:
        return f"No goal of {species.name} on the sheet Goals."
    if near is None:
        return "Carries nothing that a goal asks for."
    wanted = wanted_copies(near.goal, species.groups.catalogue.loci)
    genes = _genes(species.groups, one, list(wanted))
    start = f"Of {near.goal.name}: {', '.join(genes) or 'little'}"
    word = _WORDS[one.sex] if one.sex else "animal"
    if near.kept:
        several = f" One or two of the {one.count} will do." if one.count > PER_SEX else ""
        rival = f"nearer than any grown {word} here" if near.best else f"no grown {word} is here"
        return f"{start}; {rival}.{several}"
    if near.best and near.near <= near.best_near + NEARER:
        return f"{start}; {near.best.id}, grown, is as near or nearer."
    return f"{start}; two young {word}s are nearer or as near."


def _genes(groups: Groups, one: Youngster, wanted: Sequence[str]) -> list[str]:
    """The goal's genes that it has, with the odds of each where they are not sure."""
    said = []
    for space, own in zip(groups.spaces, one.odds, strict=True):
        for position, locus in enumerate(space.group.loci):
            for allele, gene in enumerate(locus.genes, start=1):
                if gene.name in wanted:
                    copies = space.copies(space.kind(one.sex), position, allele)
                    carries = float(own[copies > 0].sum())
                    if carries >= 0.1:
                        said.append(gene.name if carries >= 0.945 else f"{gene.name} {percent(carries)}")
    return said
