"""Who descends from whom, clutch by clutch, and who may have sired each clutch.

A clutch is what one pairing laid at one time; animals with both parents recorded and no hatch row are put with the
clutch of their parents and year, or make a clutch of their own. Animals linked by recorded parents are one family;
families are separate problems.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from pipeline.genetics.collection import Animal, Collection, Young
from pipeline.genetics.genes import Sex

GROWN_DAYS = 180
"""A male younger than this when a clutch was born is no candidate for its sire, whatever the species."""


@dataclass(frozen=True)
class Candidate:
    """A possible sire of a clutch: an animal, or None for a male unknown. `recorded`: named in the pairing."""

    male: str | None
    prior: float
    recorded: bool


@dataclass(frozen=True)
class Clutch:
    """One clutch: its certain dam, its possible sires (priors sum to 1), its young.

    `tallies` are hatch rows without an animal of their own, `children` the animals. `key` names it:
    (pairing, clutch), or for animals without a hatch row ('', 'dam x sire, when').
    """

    key: tuple[str, int | str]
    dam: str
    candidates: tuple[Candidate, ...]
    tallies: tuple[Young, ...]
    children: tuple[str, ...]

    @property
    def recorded(self) -> tuple[str, ...]:
        return tuple(c.male for c in self.candidates if c.recorded and c.male is not None)


@dataclass(frozen=True)
class Half:
    """An animal with one recorded parent; the other is drawn from the background."""

    animal: str
    parent: str
    role: Sex


@dataclass(frozen=True)
class Family:
    """Animals linked by recorded parents, parents before young. `looks` are hatch rows of animals of their own."""

    species: str
    animals: Mapping[str, Animal]
    clutches: tuple[Clutch, ...]
    halves: tuple[Half, ...]
    looks: Mapping[str, Young]

    @property
    def parents(self) -> frozenset[str]:
        """Every animal recorded as the dam or sire of another or of a clutch."""
        dams = {clutch.dam for clutch in self.clutches}
        sires = {male for clutch in self.clutches for male in clutch.recorded}
        return frozenset(dams | sires | {half.parent for half in self.halves})

    @property
    def clutch_of(self) -> Mapping[str, int]:
        """Position of the clutch each animal hatched in."""
        return {child: i for i, clutch in enumerate(self.clutches) for child in clutch.children}


def families(collection: Collection) -> tuple[Family, ...]:
    """All families of a collection, in the order of their first animals."""
    looks = {y.animal: y for y in collection.young if y.animal in collection.animals}
    clutches = _clutches(collection, looks)
    hatched = {child for clutch in clutches for child in clutch.children}
    halves = tuple(half for animal in collection.animals.values() if (half := _half(animal, hatched)))
    home = _components(collection, clutches, halves)
    own_clutches = _by(clutches, lambda clutch: home[clutch.dam])
    own_halves = _by(halves, lambda half: home[half.animal])
    members: dict[str, dict[str, Animal]] = {}
    for animal in collection.animals.values():
        members.setdefault(home[animal.id], {})[animal.id] = animal
    return tuple(
        Family(
            next(iter(own.values())).species,
            own,
            tuple(own_clutches.get(root, ())),
            tuple(own_halves.get(root, ())),
            {animal: looks[animal] for animal in own if animal in looks},
        )
        for root, own in members.items()
    )


def _by(things: Iterable, name: Callable) -> dict:
    """Things listed by name."""
    named: dict = {}
    for thing in things:
        named.setdefault(name(thing), []).append(thing)
    return named


def _half(animal: Animal, hatched: set[str]) -> Half | None:
    if animal.id in hatched or (animal.dam is None) == (animal.sire is None):
        return None
    if animal.dam is not None:
        return Half(animal.id, animal.dam, "F")
    return Half(animal.id, animal.sire, "M")


def _clutches(collection: Collection, looks: Mapping[str, Young]) -> list[Clutch]:
    tallies: dict[tuple[str, int | str], list[Young]] = {}
    children: dict[tuple[str, int | str], list[str]] = {}
    males = _Males(collection)
    for young in collection.young:
        if young.pairing in collection.pairings:
            key = (young.pairing, young.clutch)
            pairing = collection.pairings[young.pairing]
            if young.animal in collection.animals and not males.descend(
                young.animal, pairing.dam, pairing.sire
            ):
                children.setdefault(key, []).append(young.animal)
            else:
                tallies.setdefault(key, []).append(young)
    born = {(y.pairing, y.clutch): y.born for y in collection.young if y.born}
    parents: dict[tuple[str, int | str], tuple[str, tuple[str, ...], int | None]] = {}
    for key in dict.fromkeys([*tallies, *children]):
        pairing = collection.pairings[str(key[0])]
        sires = tuple(dict.fromkeys((pairing.sire, *pairing.other_sires)))
        parents[key] = (pairing.dam, sires, born[key].year if key in born else pairing.season)
    of_dam = _by(parents, lambda key: parents[key][0])
    for animal in collection.animals.values():
        if animal.id not in looks and animal.dam is not None and animal.sire is not None:
            key = _key_of(animal, {k: parents[k] for k in of_dam.get(animal.dam, ())})
            parents.setdefault(key, (animal.dam, (animal.sire,), _year(animal)))
            children.setdefault(key, []).append(animal.id)
    return [
        Clutch(
            key,
            dam,
            males.candidates(dam, sires, children.get(key, []), born.get(key), year),
            tuple(tallies.get(key, ())),
            tuple(children.get(key, ())),
        )
        for key, (dam, sires, year) in parents.items()
    ]


def _key_of(animal: Animal, parents: Mapping) -> tuple[str, int | str]:
    """The one clutch that an animal without a hatch row can be of, or one of its own kind."""
    year = _year(animal)
    same = [
        key
        for key, (dam, sires, when) in parents.items()
        if key[0] and dam == animal.dam and animal.sire in sires and year is not None and when == year
    ]
    when = animal.born.isoformat() if animal.born else (year or "date unknown")
    return same[0] if len(same) == 1 else ("", f"{animal.dam} x {animal.sire}, {when}")


def _year(animal: Animal) -> int | None:
    return animal.born.year if animal.born else animal.born_year


class _Males:
    """The keeper's males, and which of them were old enough when a clutch was born."""

    def __init__(self, collection: Collection) -> None:
        self._collection = collection
        self._males = [animal for animal in collection.animals.values() if animal.sex == "M"]
        self._young_of: dict[str, list[str]] = {}
        for animal in collection.animals.values():
            for parent in (animal.dam, animal.sire):
                if parent is not None:
                    self._young_of.setdefault(parent, []).append(animal.id)
        for young in collection.young:
            pairing = collection.pairings.get(young.pairing)
            if pairing and young.animal in collection.animals:
                for parent in (pairing.dam, pairing.sire, *pairing.other_sires):
                    self._young_of.setdefault(parent, []).append(young.animal)

    def candidates(
        self, dam: str, sires: tuple[str, ...], children: Iterable[str], born: date | None, year: int | None
    ) -> tuple[Candidate, ...]:
        """Recorded sires with 1 - w evenly; a male unknown with w/2; other males old enough with w/2 evenly."""
        wrong = self._collection.settings.wrong_sire
        species = self._collection.animals[dam].species
        younger = self._descendants(children)
        sires = tuple(sire for sire in sires if sire not in younger) or sires
        barred = younger | set(sires)
        others = [
            male.id
            for male in self._males
            if male.species == species and male.id not in barred and _old_enough(male, born, year)
        ]
        found = [Candidate(sire, (1 - wrong) / len(sires), True) for sire in sires]
        found.append(Candidate(None, wrong / 2 if others else wrong, False))
        found += [Candidate(male, wrong / 2 / len(others), False) for male in others]
        return tuple(c for c in found if c.prior > 0)

    def descend(self, animal: str, *others: str) -> bool:
        """Whether any of the others descends from the animal, which they then can't have as their young."""
        return not self._descendants([animal]).isdisjoint(others)

    def _descendants(self, children: Iterable[str]) -> set[str]:
        reached, waiting = set(), list(children)
        while waiting:
            animal = waiting.pop()
            if animal not in reached:
                reached.add(animal)
                waiting += self._young_of.get(animal, [])
        return reached


def _old_enough(male: Animal, born: date | None, year: int | None) -> bool:
    """Whether a male can have sired young born then; a male or young of unknown age is given the benefit."""
    if male.born and born:
        return (born - male.born).days >= GROWN_DAYS
    own, when = _year(male), born.year if born else year
    return own is None or when is None or own < when


def _components(collection: Collection, clutches: list[Clutch], halves: Iterable[Half]) -> dict[str, str]:
    """Each animal's family, named by one of its animals."""
    root = {animal: animal for animal in collection.animals}

    def find(animal: str) -> str:
        while root[animal] != animal:
            root[animal] = root[root[animal]]
            animal = root[animal]
        return animal

    links = [(half.animal, half.parent) for half in halves]
    links += [(c.dam, other) for c in clutches for other in (*c.recorded, *c.children)]
    for one, other in links:
        root[find(one)] = find(other)
    return {animal: find(animal) for animal in collection.animals}
