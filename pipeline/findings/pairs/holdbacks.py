"""Which young to keep for the goals, and what the rest may be called and fetch."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import Any

import pandas as pd

from pipeline.findings.frames import findings_frame
from pipeline.findings.pairs.expected import Species
from pipeline.findings.pairs.goals import Goal, nearness, nearness_of, wanted_copies
from pipeline.findings.pairs.spaces import Groups, Odds
from pipeline.findings.pairs.young import Youngster
from pipeline.findings.shares import percent
from pipeline.genetics.genes import SEX_WORDS, SEXES, Sex
from pipeline.genetics.labels import write_label
from pipeline.store.tables import HOLDBACKS

PER_SEX = 2
"""Young kept for a goal, of each sex: one, and one in case it fails."""
LIKELY = 0.5
"""A young is kept where it is nearer a goal than every grown animal of its sex at least as likely as not."""
LITTLE = 0.02
"""Below this an animal carries nothing of a goal to speak of."""


@dataclass(frozen=True)
class Grown:
    """A grown animal that is kept."""

    id: str
    species: str
    sex: Sex
    odds: Odds


@dataclass(frozen=True)
class _Standing:
    """How a young stands toward one goal: its nearness as expected, the nearest grown animal of its sex, the chance to be nearer
    than that, and whether it is kept for the goal. One of unknown sex is held against `sex`, of which none comes so near."""

    goal: Goal
    near: float
    sex: Sex
    best: Grown | None
    best_near: float
    chance: float
    kept: bool


def holdbacks(
    kinds: Mapping[str, Species], young: Sequence[Youngster], grown: Sequence[Grown]
) -> pd.DataFrame:
    """Findings table holdbacks without `book`: those to keep first, then the rest, each by species, goal and nearness.

    A young is kept for a goal where it is likely nearer it than every grown animal of its sex that is kept (each of those taken
    at its likeliest), and among the two nearest young of that sex; one of unknown sex stands for either.
    """
    standings: dict[int, list[_Standing]] = {i: [] for i in range(len(young))}
    for species in kinds.values():
        for goal in species.goals:
            for place, standing in _standings(goal, species.groups, young, grown):
                standings[place].append(standing)
    rows = [_row(kinds[one.species], one, standings[i]) for i, one in enumerate(young)]
    rows.sort(
        key=lambda r: (
            r["keep"] != "keep",
            r["species"],
            r["goal"] or "",
            -(r["nearness"] or 0),
            r["animal"] or "~",
            r["pairing"] or "",
        )
    )
    return findings_frame(HOLDBACKS, rows)


def nearness_odds(near_by_group: Sequence[Sequence[float]], odds: Odds) -> dict[float, float]:
    """How near an animal is to a goal (0..1), with the probability of each value; by linkage group, how near its states are."""
    found = {0.0: 1.0}
    for nears, own in zip(near_by_group, odds, strict=True):
        parts: dict[float, float] = {}
        for near, chance in zip(nears, own.tolist(), strict=True):
            parts[near] = parts.get(near, 0.0) + chance
        joined: dict[float, float] = {}
        for (one, p), (other, q) in product(found.items(), parts.items()):
            if p * q > 0:
                near = round(one + other, 9)
                joined[near] = joined.get(near, 0.0) + p * q
        found = joined
    return found


def _standings(
    goal: Goal, groups: Groups, young: Sequence[Youngster], grown: Sequence[Grown]
) -> list[tuple[int, _Standing]]:
    """Every young of the goal's species, by its place."""
    best = {
        sex: _nearest(goal, groups, [a for a in grown if (a.species, a.sex) == (goal.species, sex)])
        for sex in SEXES
    }
    poorer = min(SEXES, key=lambda sex: best[sex][0])
    wanted = wanted_copies(goal, groups.catalogue.loci)
    nears = {
        sex: [nearness(wanted, space, space.kind(sex)).tolist() for space in groups.spaces]
        for sex in (*SEXES, None)
    }
    found: dict[int, _Standing] = {}
    for i, one in enumerate(young):
        if one.species == goal.species:
            odds = nearness_odds(nears[one.sex], one.odds)
            held = one.sex or poorer
            bar, adult = best[held]
            chance = sum(p for near, p in odds.items() if near > bar + 1e-6)
            expected = sum(near * p for near, p in odds.items())
            found[i] = _Standing(goal, expected, held, adult, bar, chance, False)
    for sex in SEXES:
        left = PER_SEX
        likely = (
            i for i, own in found.items() if young[i].sex in (sex, None) and own.chance >= LIKELY - 1e-9
        )
        for i in sorted(likely, key=lambda i: (-round(found[i].near, 2), i)):
            if left > 0:
                found[i] = replace(found[i], kept=True)
                left -= young[i].count
    return list(found.items())


def _nearest(goal: Goal, groups: Groups, grown: Sequence[Grown]) -> tuple[float, Grown | None]:
    """The nearest grown animal, each at its likeliest at every linkage group."""
    if not grown:
        return 0.0, None
    near = nearness_of(goal, groups, [a.odds for a in grown], grown[0].sex)
    return max(zip(near.tolist(), grown, strict=True), key=lambda known: (known[0], known[1].id))


def _row(species: Species, one: Youngster, standings: Sequence[_Standing]) -> dict[str, Any]:
    served = max(standings, key=lambda s: (s.kept, s.near * s.goal.weight, s.near), default=None)
    near = served if served and served.near > LITTLE else None
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
    word = SEX_WORDS[near.sex]
    if near.kept:
        several = f" One or two of the {one.count} will do." if one.count > PER_SEX else ""
        odds = f" ({percent(near.chance)})" if near.chance < 0.99 else ""
        rival = f"nearer than any grown {word} here{odds}" if near.best else f"no grown {word} is here"
        return f"{start}; {rival}.{several}"
    if near.chance < LIKELY - 1e-9:
        rival = (
            f"{near.best.id}, grown, is likely as near or nearer"
            if near.best
            else "likely it carries none of it"
        )
        return f"{start}; {rival}."
    return f"{start}; two young {word if one.sex else 'animal'}s are nearer or as near."


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
                        said.append(gene.name if carries >= 0.945 else f"{gene.name} ({percent(carries)})")
    return said
