"""Who descends from whom, clutch by clutch, and who may have sired each clutch.

A clutch is what one pairing laid at one time; animals with both parents recorded and no hatch row are put with the
clutch of their parents and year, or make a clutch of their own. Animals linked by recorded parents are one family;
families are separate problems.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property

import numpy as np

from pipeline.genetics.carriers.sires import Candidate, Males, birth_year
from pipeline.genetics.collection import Animal, Collection, Young
from pipeline.genetics.genes import Sex

ClutchKey = tuple[str, int | str]
"""Names a clutch; see Clutch."""


@dataclass(frozen=True)
class Clutch:
    """One clutch: its certain dam, its possible sires (priors sum to 1), its young.

    `tallies` are hatch rows without an animal of their own, `children` the animals; `year` is that of birth, or the
    season's. `key` names it:
    (pairing, clutch), or for animals without a hatch row ('', 'dam x sire, when').
    """

    key: ClutchKey
    dam: str
    candidates: tuple[Candidate, ...]
    tallies: tuple[Young, ...]
    children: tuple[str, ...]
    born: date | None = None
    year: int | None = None

    @cached_property
    def recorded(self) -> tuple[str, ...]:
        """The males its pairing names."""
        return tuple(c.male for c in self.candidates if c.recorded and c.male is not None)

    @cached_property
    def place(self) -> Mapping[str | None, int]:
        """Each candidate's position."""
        return {c.male: i for i, c in enumerate(self.candidates)}

    @cached_property
    def log_priors(self) -> np.ndarray:
        """ln of each candidate's prior, one entry a candidate."""
        return np.log([c.prior for c in self.candidates])


@dataclass(frozen=True)
class Half:
    """An animal with one recorded parent; the other is drawn from the background, or where `alone` there is none."""

    animal: str
    parent: str
    role: Sex
    alone: bool = False


@dataclass(frozen=True)
class Family:
    """Animals linked by recorded parents, parents before young. `looks` are hatch rows of animals of their own."""

    species: str
    animals: Mapping[str, Animal]
    clutches: tuple[Clutch, ...]
    halves: tuple[Half, ...]
    looks: Mapping[str, Young]

    @cached_property
    def parents(self) -> frozenset[str]:
        """Every animal recorded as the dam or sire of another or of a clutch."""
        dams = {clutch.dam for clutch in self.clutches}
        sires = {male for clutch in self.clutches for male in clutch.recorded}
        return frozenset(dams | sires | {half.parent for half in self.halves})

    @cached_property
    def clutch_of(self) -> Mapping[str, int]:
        """Position of the clutch each animal hatched in."""
        return {child: i for i, clutch in enumerate(self.clutches) for child in clutch.children}

    @cached_property
    def sexes(self) -> Mapping[str, Sex | None]:
        """The animals' sexes as far as they are known; a role as a parent goes before what is recorded."""
        recorded = {animal: row.sex for animal, row in self.animals.items()}
        looked = {animal: young.sex for animal, young in self.looks.items() if not recorded[animal]}
        halves = {half.parent: half.role for half in self.halves}
        sires: dict[str, Sex] = {male: "M" for clutch in self.clutches for male in clutch.recorded}
        dams: dict[str, Sex] = {clutch.dam: "F" for clutch in self.clutches}
        return {**recorded, **looked, **halves, **sires, **dams}

    @cached_property
    def tried(self) -> tuple[tuple[str | None, ...], tuple[np.ndarray, ...]]:
        """The candidates of all its clutches, each once, and by clutch the places of its own among them."""
        names = tuple(dict.fromkeys(c.male for clutch in self.clutches for c in clutch.candidates))
        place = {male: i for i, male in enumerate(names)}
        own = (np.array([place[c.male] for c in clutch.candidates], np.intp) for clutch in self.clutches)
        return names, tuple(own)


def families(collection: Collection, linked: Iterable[tuple[str, str]] = ()) -> tuple[Family, ...]:
    """All families of a collection, in the order of their first animals; those of two `linked` animals are one."""
    looks = {y.animal: y for y in collection.young if y.animal in collection.animals}
    males = Males(collection)
    clutches = _clutches(collection, males)
    hatched = {child for clutch in clutches for child in clutch.children}
    halves = tuple(
        Half(animal.id, parent, "F" if animal.sire is None else "M")
        for animal in collection.animals.values()
        if (animal.dam is None or animal.sire is None)
        and (parent := animal.dam or animal.sire)
        and animal.id not in hatched
    )
    home = _components(collection, clutches, halves, linked)
    doubt = collection.settings.wrong_sire > 0
    own_clutches = _by(clutches, lambda clutch: home[clutch.dam])
    own_halves = _by(halves, lambda half: home[half.animal])
    members: dict[str, dict[str, Animal]] = {}
    for animal in collection.animals.values():
        members.setdefault(home[animal.id], {})[animal.id] = animal
    return tuple(
        Family(
            next(iter(own.values())).species,
            own,
            tuple(_doubted(c, males, own) if doubt else c for c in own_clutches.get(root, ())),
            tuple(own_halves.get(root, ())),
            {animal: looks[animal] for animal in own if animal in looks},
        )
        for root, own in members.items()
    )


def _doubted(clutch: Clutch, males: Males, family: Mapping[str, Animal]) -> Clutch:
    """The clutch with all its candidates."""
    found = males.candidates(clutch.dam, clutch.recorded, clutch.children, clutch.born, clutch.year, family)
    return replace(clutch, candidates=found)


def _by(things: Iterable, name: Callable) -> dict:
    """Things listed by name."""
    named: dict = defaultdict(list)
    for thing in things:
        named[name(thing)].append(thing)
    return named


def _clutches(collection: Collection, males: Males) -> list[Clutch]:
    """All clutches, each with its recorded sires alone."""
    tallies: dict[ClutchKey, list[Young]] = {}
    children: dict[ClutchKey, list[str]] = {}
    key: ClutchKey
    for young in collection.young:
        if young.pairing in collection.pairings:
            key = (young.pairing, young.clutch)
            pairing = collection.pairings[young.pairing]
            own = young.animal if young.animal in collection.animals else None
            if own is not None and not males.descend(own, pairing.dam, pairing.sire):
                children.setdefault(key, []).append(own)
            else:
                tallies.setdefault(key, []).append(young)
    born: dict[ClutchKey, date] = {(y.pairing, y.clutch): y.born for y in collection.young if y.born}
    parents: dict[ClutchKey, tuple[str, tuple[str, ...], int | None]] = {}
    for key in dict.fromkeys([*tallies, *children]):
        pairing = collection.pairings[str(key[0])]
        sires = tuple(dict.fromkeys((pairing.sire, *pairing.other_sires)))
        parents[key] = (pairing.dam, sires, born[key].year if key in born else pairing.season)
    of_dam = _by(parents, lambda key: parents[key][0])
    hatched = {child for own in children.values() for child in own}
    others = (a for a in collection.animals.values() if a.dam and a.sire and a.id not in hatched)
    for (dam, sire, when), own in _by(others, lambda a: (a.dam, a.sire, a.born or a.born_year)).items():
        year = birth_year(own[0])
        same = [key for key in of_dam.get(dam, ()) if sire in parents[key][1] and parents[key][2] == year]
        key = (
            same[0]
            if len(same) == 1 and year is not None
            else ("", f"{dam} x {sire}, {when or 'date unknown'}")
        )
        parents.setdefault(key, (dam, (sire,), year))
        children.setdefault(key, []).extend(animal.id for animal in own)
    return [
        Clutch(
            key,
            dam,
            tuple(Candidate(sire, 1 / len(sires), True) for sire in sires),
            tuple(tallies.get(key, ())),
            tuple(children.get(key, ())),
            born.get(key),
            year,
        )
        for key, (dam, sires, year) in parents.items()
    ]


def _components(
    collection: Collection, clutches: list[Clutch], halves: Iterable[Half], linked: Iterable[tuple[str, str]]
) -> dict[str, str]:
    """Each animal's family, named by one of its animals."""
    family = {animal: [animal] for animal in collection.animals}
    links = [*linked, *((half.animal, half.parent) for half in halves)]
    links += [(c.dam, other) for c in clutches for other in (*c.recorded, *c.children)]
    for one, other in links:
        large, small = family[one], family[other]
        if large is not small:
            if len(large) < len(small):
                large, small = small, large
            large += small
            for animal in small:
                family[animal] = large
    return {animal: own[0] for animal, own in family.items()}
