"""The young of a book that are not yet of breeding age, each with what its genes may be."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
import pandas as pd

from pipeline.findings.growth.readiness import add_months
from pipeline.findings.pairs.spaces import Groups, Odds, in_order
from pipeline.genetics.carriers.odds import Carriers
from pipeline.genetics.carriers.solving import Solved
from pipeline.genetics.collection import Animal, Collection, Outcome, Young
from pipeline.genetics.genes import SEX_WORDS, SEXES, Sex
from pipeline.genetics.label_claims import canonical
from pipeline.genetics.statements import Carried, Shown, Statement

HERE = frozenset({"keeping", "for sale", "on loan"})
FIRST_YEAR = 12
"""Months; the age below which an animal is young where no breeding age is known."""


@dataclass(frozen=True)
class Youngster:
    """An animal, or young of a hatch row that have no row of their own (`animal` ''). `label` is what may be claimed."""

    species: str
    animal: str
    pairing: str | None
    sex: Sex | None
    count: int
    odds: Odds
    label: Statement


def youngsters(
    collection: Collection,
    carriers: Carriers,
    odds: Mapping[str, Odds],
    groups: Mapping[str, Groups],
    species: pd.DataFrame,
    as_of: date,
) -> list[Youngster]:
    """Young animals here (`species` are its records, for the breeding age), and the live young of the latest season's hatch
    rows. In the order of species, ID and pairing."""
    latest = _latest_seasons(collection)
    ages = {row["species"]: row for row in species.to_dict("records")}
    hatched = {young.animal: young.pairing for young in collection.young if young.animal}
    found = [
        Youngster(
            a.species, a.id, hatched.get(a.id), a.sex, 1, odds[a.id],
            label_of(groups[a.species], odds[a.id], a.sex, a.label.lines if a.label else ()),
        )
        for a in collection.animals.values()
        if a.status in HERE and a.id in odds and is_young(a, ages.get(a.species, {}), latest.get(a.species), as_of)
    ]  # fmt: skip
    found += _in_tallies(collection, carriers, groups, latest)
    return sorted(
        _alike(found),
        key=lambda y: (y.species, not y.animal, y.animal, y.pairing or "", -y.count, y.sex or ""),
    )


def _alike(found: Iterable[Youngster]) -> list[Youngster]:
    """Hatch rows of one pairing that read alike as one."""
    kept: dict[tuple, Youngster] = {}
    for one in found:
        key = (one.species, one.animal, one.pairing, one.sex, one.label)
        kept[key] = replace(one, count=one.count + kept[key].count) if key in kept else one
    return list(kept.values())


def is_young(animal: Animal, rules: Mapping, latest: int | None, as_of: date) -> bool:
    """Below breeding age on the day, in its first year, or born in the latest season or after."""
    sexes = (animal.sex,) if animal.sex else SEXES
    months = [rules.get(f"{SEX_WORDS[sex]}_breeding_age") for sex in sexes]
    known = [float(m) for m in months if m is not None and not pd.isna(m)]
    if animal.born and as_of < add_months(animal.born, max(known, default=FIRST_YEAR)):
        return True
    year = animal.born.year if animal.born else animal.born_year
    return latest is not None and year is not None and year >= latest


def label_of(groups: Groups, odds: Odds, sex: Sex | None, lines: tuple[str, ...] = ()) -> Statement:
    """What may be claimed: of each linkage group the likeliest look, and the hets that the odds within it bear out."""
    shows: list[Shown] = []
    carries: list[Carried] = []
    for place, own in enumerate(odds):
        looks = groups.looks(place, sex)
        shares = own @ looks.columns
        said = looks.said(int(looks.words(shares[None])[0, shares[: len(looks.looks)].argmax()]))
        shows += said.shows
        carries += said.carries
    return canonical(Statement(tuple(shows), tuple(carries), (), lines), groups.catalogue)


def _latest_seasons(collection: Collection) -> dict[str, int]:
    """By species the latest season with live young."""
    latest: dict[str, int] = {}
    for young in collection.young:
        pairing = collection.pairings.get(young.pairing)
        if pairing and young.outcome is Outcome.LIVE:
            latest[pairing.species] = max(latest.get(pairing.species, 0), pairing.season)
    return latest


def _in_tallies(
    collection: Collection, carriers: Carriers, groups: Mapping[str, Groups], latest: Mapping[str, int]
) -> Iterator[Youngster]:
    """Live, labelled young of the latest season without a row of their own; equal ones together."""
    for pairing in collection.pairings.values():
        species = pairing.species
        clutches = carriers.clutches_of.get(pairing.id, ()) if pairing.season == latest.get(species) else ()
        for solved, place in clutches:
            own = groups[species]
            for young in solved.family.clutches[place].tallies if solved.posterior else ():
                if (
                    young.label is None
                    or young.outcome is not Outcome.LIVE
                    or not young.count
                    or young.animal
                ):
                    continue
                odds = _tally_odds(solved, place, young, own)
                if all(np.isfinite(part).all() for part in odds):
                    label = label_of(own, odds, young.sex, young.label.lines)
                    yield Youngster(species, "", pairing.id, young.sex, young.count, odds, label)


def _tally_odds(solved: Solved, place: int, young: Young, groups: Groups) -> Odds:
    """The genotype of a young of which only its look is known: given its parents, it depends on that alone."""
    parts = []
    for scores, couples in zip(solved.weighed.scores, solved.weighed.couples, strict=True):
        stack = scores.stack
        kind = stack.kind(young.sex)
        shown = stack.trio(kind) * stack.reading(young.known_label, kind, young.unreadable)[:, None, None, :]
        total = shown.sum(axis=-1, keepdims=True)
        given = np.divide(shown, total, out=np.zeros_like(shown), where=total > 0)
        parents = np.broadcast_to(couples[:, place], (len(stack.spaces), *couples.shape[2:]))
        own = np.einsum("gds,gdsy->gy", parents, given)
        parts.append(own / own.sum(axis=1, keepdims=True))
    return tuple(parts[part][place] for part, place in in_order(solved, groups))
