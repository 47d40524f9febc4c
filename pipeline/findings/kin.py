"""How far animals are kin: inbreeding of each, and of the young that any kept pair would have."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd

from pipeline.findings.frames import findings_frame
from pipeline.findings.shares import halved
from pipeline.genetics.collection import Animal, Collection
from pipeline.genetics.genes import Sex
from pipeline.genetics.pedigree import Pedigree
from pipeline.problems import Place, Problem, Severity
from pipeline.store.tables import INBREEDING, KINSHIP

CLOSEST = 10_000
"""Pairs of a species told at most, the closest; a thousand hatchlings of one line make a quarter of a million."""
NAMED = 3
"""Common ancestors named at most, those that add most."""
KEPT = ("keeping", "on loan")
_Ancestors = Mapping[str, float]


@dataclass(frozen=True)
class KinFindings:
    """The tables inbreeding and kinship (without `book`), and notes on what was left out."""

    inbreeding: pd.DataFrame
    kinship: pd.DataFrame
    problems: tuple[Problem, ...]


def kin_findings(collection: Collection) -> KinFindings:
    """Inbreeding of every animal, and kinship of every female with every male of her species that are both kept.

    Kept are animals of a known sex with status keeping or on loan. Time grows with the animals and the pairs told.
    """
    pedigree = Pedigree({animal.id: (animal.sire, animal.dam) for animal in collection.animals.values()})
    told = _Told(pedigree, collection.settings.inbreeding_at_most)
    pairs = {species: _pairs(species, told, collection) for species in collection.catalogues}
    kinship = [row for found, _ in pairs.values() for row in found]
    return KinFindings(
        findings_frame(INBREEDING, list(_inbreeding(told, collection))),
        findings_frame(KINSHIP, kinship),
        tuple(_left_out(collection, species, left) for species, (_, left) in pairs.items() if left),
    )


class _Told:
    """What the tables say of one pedigree, each thing reckoned once."""

    def __init__(self, pedigree: Pedigree, at_most: float) -> None:
        self.pedigree, self.at_most = pedigree, at_most
        self.generations = pedigree.generations_known()
        self._words: dict[tuple[str, str], str] = {}

    def ancestors(self, dam: str, sire: str) -> str:
        """The common ancestors of two animals in words."""
        if (dam, sire) not in self._words:
            self._words[dam, sire] = in_words(self.pedigree.common_ancestors(dam, sire))
        return self._words[dam, sire]


def in_words(ancestors: _Ancestors) -> str:
    """'B01 12.5 %, B02 12.5 %', the first NAMED of them and how many more."""
    named = [f"{animal} {_percent(part)}" for animal, part in list(ancestors.items())[:NAMED]]
    more = len(ancestors) - len(named)
    return ", ".join(named) + (f" and {more} more" if more else "")


def _percent(part: float) -> str:
    return halved(part) if part >= 0.001 else "under 0.1 %"


def _inbreeding(told: _Told, collection: Collection) -> Iterator[dict[str, Any]]:
    f = told.pedigree.inbreeding()
    for animal in collection.animals.values():
        yield {
            "species": animal.species,
            "animal": animal.id,
            "status": animal.status,
            "dam": animal.dam,
            "sire": animal.sire,
            "f": f[animal.id],
            "generations_known": told.generations[animal.id],
            "common_ancestors": _parents_kin(animal, told) if f[animal.id] > 0 else None,
            "over_limit": f[animal.id] > told.at_most,
        }


def _parents_kin(animal: Animal, told: _Told) -> str | None:
    return told.ancestors(animal.dam, animal.sire) if animal.dam and animal.sire else None


def _pairs(species: str, told: _Told, collection: Collection) -> tuple[list[dict[str, Any]], int]:
    """The closest pairs of a species, and how many more are kin.

    Childless full sibs are kin to everybody alike, so each group of them is asked about once.
    """
    females, males = (_alike(_kept(species, sex, collection), told.pedigree) for sex in ("F", "M"))
    dams, sires = ([group[0] for group in groups] for groups in (females, males))
    at, by, kinship = told.pedigree.kin(dams, sires)
    size = np.array(
        [len(females[i]) * len(males[j]) for i, j in zip(at.tolist(), by.tolist(), strict=True)], dtype=int
    )
    order = np.argsort(-kinship, kind="stable")
    enough = np.searchsorted(np.cumsum(size[order]), CLOSEST)
    least = kinship[order[enough]] if enough < len(order) else 0.0
    close = kinship >= least
    rows = [
        row
        for i, j, f in zip(at[close].tolist(), by[close].tolist(), kinship[close].tolist(), strict=True)
        for row in _rows(species, females[i], males[j], f, told)
    ]
    rows.sort(key=lambda row: (-row["f_young"], row["dam"], row["sire"]))
    return rows[:CLOSEST], int(size.sum()) - len(rows[:CLOSEST])


def _rows(
    species: str, females: Sequence[str], males: Sequence[str], f: float, told: _Told
) -> Iterator[dict[str, Any]]:
    words = told.ancestors(females[0], males[0])
    for dam in females:
        for sire in males:
            yield {
                "species": species,
                "dam": dam,
                "sire": sire,
                "f_young": f,
                "generations_known": min(told.generations[dam], told.generations[sire]),
                "common_ancestors": words,
                "over_limit": f > told.at_most,
            }


def _kept(species: str, sex: Sex, collection: Collection) -> list[Animal]:
    own = (animal for animal in collection.animals.values() if animal.species == species)
    return sorted((a for a in own if a.sex == sex and a.status in KEPT), key=lambda a: a.id)


def _alike(animals: Sequence[Animal], pedigree: Pedigree) -> list[list[str]]:
    """Animals in groups that are kin to all others alike: childless full sibs together, all others alone."""
    parents = {*pedigree.sire, *pedigree.dam}
    groups: dict[tuple[str | None, ...], list[str]] = {}
    for animal in animals:
        alone = pedigree.position[animal.id] in parents or not (animal.sire and animal.dam)
        groups.setdefault((animal.id,) if alone else (animal.sire, animal.dam), []).append(animal.id)
    return list(groups.values())


def _left_out(collection: Collection, species: str, left: int) -> Problem:
    return Problem(
        Severity.NOTE,
        Place(collection.book, "Animals"),
        f"{left:,} more pairs of {species} are kin than the {CLOSEST:,} closest that are told.",
        "`cross` tells the kinship of any pair.",
    )
