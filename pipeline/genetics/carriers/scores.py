"""Every record of a family as likelihoods; childless young folded into one table per clutch.

A Scores object belongs to one family and one stack of linkage groups. Animals in `nodes` are variables of the network;
all others have no young, and only what they say of their parents is kept.
"""

from collections import defaultdict
from collections.abc import Collection as AnyOf
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache, cached_property

import numpy as np

from pipeline.genetics.carriers.arithmetic import logs
from pipeline.genetics.carriers.families import Clutch, Family, Half
from pipeline.genetics.carriers.spaces import Kind
from pipeline.genetics.carriers.stacks import Stack, error_of
from pipeline.genetics.collection import Basis, Outcome, Settings, Young
from pipeline.genetics.genes import SEXES, Sex
from pipeline.genetics.statements import Statement

Record = tuple[str, str, int]
"""A record as evidence: ('animal', ID, 0), or ('young', 'pairing / clutch', its position in the clutch's tallies)."""


@dataclass(frozen=True)
class Fold:
    """Childless young of one kind. `animals`, `clutch`, `counts`, `saying`: one entry for all young of a clutch that say the
    same, the last its place among the different `sayings`, groups x sayings x states.

    `likely` is how likely a couple's young say so: groups x sayings x dam x sire.
    """

    kind: Kind
    animals: tuple[tuple[str, ...], ...]
    clutch: np.ndarray
    counts: np.ndarray
    saying: np.ndarray
    sayings: np.ndarray
    likely: np.ndarray

    @property
    def said(self) -> np.ndarray:
        """What the young of each entry say: groups x entries x states."""
        return self.sayings[:, self.saying]

    @property
    def given(self) -> np.ndarray:
        """How likely a couple's young say it: groups x entries x dam x sire."""
        return self.likely[:, self.saying]


class Scores:
    """`own[animal]` (groups x states) is a founder's prior, or the likelihood of what is recorded of any other.

    `couples` (groups x clutches x dam x sire) are log-likelihoods of all childless young given their parents, and of
    the sexes of a hatched clutch's young: each is P(its sex and genotype | dam, sire, alive), so that young of both
    sexes that die are missing from one sum. Two sex-linked groups with lethal genes are taken to shift the sexes apart.
    Records in `without` are left out.
    """

    def __init__(
        self,
        family: Family,
        stack: Stack,
        settings: Settings,
        nodes: AnyOf[str],
        without: AnyOf[Record] = frozenset(),
    ) -> None:
        self.family, self.stack, self.settings = family, stack, settings
        self._silent = frozenset(without)
        self.sexes, self.clutch_of = family.sexes, family.clutch_of
        self.half_of: Mapping[str, Half] = {half.animal: half for half in family.halves}
        nodes, bred = set(nodes), self.clutch_of.keys() | self.half_of.keys()
        self.nodes = tuple(a for a in family.animals if a in nodes or a not in bred)
        self.own = self._owns(bred)
        self.folds = tuple(self._folds())
        self.couples = self._couples()

    def without(self, records: AnyOf[Record]) -> "Scores":
        """The same with some records left out."""
        return Scores(self.family, self.stack, self.settings, self.nodes, records)

    def at(self, stack: Stack) -> "Scores":
        """The same records at other linkage groups."""
        return Scores(self.family, stack, self.settings, self.nodes, self._silent)

    def narrowed(self, family: Family) -> "Scores":
        """The same records for part of the family, every animal a variable."""
        part = Scores.__new__(Scores)
        part.family, part.stack, part.settings, part._silent = family, self.stack, self.settings, self._silent
        part.clutch_of = family.clutch_of
        part.half_of = {half.animal: half for half in family.halves}
        part.nodes = tuple(family.animals)
        part.own = {animal: self.own[animal] for animal in family.animals}
        part.folds = ()
        part.sexes = self.sexes
        part.couples = part._couples()
        return part

    def with_nodes(self, more: AnyOf[str]) -> "Scores":
        """The same records with more animals as variables."""
        if set(self.nodes).issuperset(more):
            return self
        return Scores(self.family, self.stack, self.settings, {*self.nodes, *more}, self._silent)

    def kind_of(self, animal: str) -> Kind:
        """What the animal is in this stack; its role as a parent goes before its recorded sex."""
        return self.stack.kind(self.sexes[animal])

    @cached_property
    def of_kind(self) -> Mapping[Kind, list[str]]:
        """The animals in the network by kind."""
        found: dict[Kind, list[str]] = {}
        for animal in self.nodes:
            found.setdefault(self.kind_of(animal), []).append(animal)
        return found

    def leaf_halves(self) -> list[Half]:
        """Childless animals with one recorded parent."""
        nodes = set(self.nodes)
        return [half for half in self.family.halves if half.animal not in nodes]

    def said_of_parent(self, half: Half) -> np.ndarray:
        """Likelihood of the recorded parent's states given the young's record: groups x states."""
        return np.einsum("gpy,gy->gp", self.passed(half), self.own[half.animal])

    def passed(self, half: Half) -> np.ndarray:
        """P(young | its one recorded parent): groups x parent x young."""
        kind = self.kind_of(half.animal)
        return self.stack.from_none(kind) if half.alone else self.stack.from_one(half.role, kind)

    def _owns(self, bred: AnyOf[str]) -> dict[str, np.ndarray]:
        """What is recorded of each animal, found once for all of whom the same is; all but the `bred` are founders."""
        own, animals, sexes = cache(self._own), self.family.animals, self.sexes
        unsaid = ((a, look) for a, look in self.family.looks.items() if animals[a].label is None)
        looks = {a: (look.label, look.unreadable) for a, look in unsaid if look.label is not None}
        passed = {half.animal for half in self.family.halves if not half.alone}
        silent = {name for what, name, _ in self._silent if what == "animal"}
        return {
            a: own(row.label, looks.get(a), row.basis, sexes[a], a in bred, a in passed, a in silent)
            for a, row in animals.items()
        }

    def _own(
        self,
        label: Statement | None,
        look: tuple[Statement, frozenset[str]] | None,
        basis: Basis,
        sex: Sex | None,
        bred: bool,
        passed: bool,
        silent: bool,
    ) -> np.ndarray:
        stack, kind, error = self.stack, self.stack.kind(sex), error_of(basis, self.settings)
        if not bred:
            return stack.stranger(kind) if silent else stack.founder(label, error, kind)
        if look and not silent:
            return stack.reading(look[0], kind, look[1])
        if silent or label is None:
            return stack.silence(kind)
        said = stack.reading(label, kind)
        if passed or basis is Basis.PROVED:
            return said * stack.claims(label, error, kind, percents=passed)
        return said

    def _tallies(self, clutch: Clutch) -> list[Young]:
        """Its young without a row of their own that are not left out."""
        return [
            young
            for j, young in enumerate(clutch.tallies)
            if young.outcome is not Outcome.SLUG
            and ("young", f"{clutch.key[0]} / {clutch.key[1]}", j) not in self._silent
        ]

    def _folds(self) -> Iterator[Fold]:
        """Childless young with anything to say, by kind, in the order of their clutches."""
        stack, nodes, tables = self.stack, set(self.nodes), {}
        kinds = {sex: stack.kind(sex) for sex in (*SEXES, None)}
        alike: dict[Kind, dict[tuple[int, int], tuple[list[str], list[int]]]]
        alike = defaultdict(lambda: defaultdict(lambda: ([], [])))
        for i, clutch in enumerate(self.family.clutches):
            for animal in clutch.children:
                if animal not in nodes:
                    said = self.own[animal]
                    tables[id(said)] = said
                    alike[kinds[self.sexes[animal]]][i, id(said)][0].append(animal)
            for young in self._tallies(clutch):
                if young.label is not None:
                    said = stack.reading(young.label, kinds[young.sex], young.unreadable)
                    tables[id(said)] = said
                    alike[kinds[young.sex]][i, id(said)][1].append(young.count)
        for kind, entries in alike.items():
            animals = tuple(tuple(own) for own, _ in entries.values())
            counts = np.array([len(own) + sum(tallied) for own, tallied in entries.values()])
            clutches, names = zip(*entries, strict=True)
            place = {name: n for n, name in enumerate(dict.fromkeys(names))}
            saying = np.array([place[name] for name in names], dtype=np.intp)
            sayings = np.stack([tables[name] for name in place], axis=1)
            trio = stack.trio(kind)
            flat = trio.reshape(len(trio), -1, trio.shape[-1])
            likely = np.matmul(sayings, flat.transpose(0, 2, 1)).reshape(*sayings.shape[:2], *trio.shape[1:3])
            yield Fold(kind, animals, np.array(clutches), counts, saying, sayings, likely)

    def _couples(self) -> np.ndarray:
        stack = self.stack
        shape = (stack.size(stack.kind("F")), stack.size(stack.kind("M")))
        table = np.zeros((len(stack.spaces), len(self.family.clutches), *shape))
        for fold in self.folds:
            weighed = logs(fold.likely)[:, fold.saying] * fold.counts[:, None, None]
            starts = np.flatnonzero(np.diff(fold.clutch, prepend=-1))
            table[:, fold.clutch[starts]] += np.add.reduceat(weighed, starts, axis=1)
        for sex in SEXES:
            shares = stack.sexes(sex)
            if shares is not None:
                counts = self._sexed(sex)[:, None, None]
                with np.errstate(invalid="ignore"):
                    table += np.where(counts > 0, logs(shares)[:, None] * counts, 0.0)
        return table

    def _sexed(self, sex: Sex) -> np.ndarray:
        """Young of each clutch of that sex. Of animals without a hatch row the keeper chose which sex to keep."""
        counts = np.zeros(len(self.family.clutches))
        for k, clutch in enumerate(self.family.clutches):
            for child in clutch.children if clutch.key[0] else ():
                counts[k] += self.sexes[child] == sex and ("animal", child, 0) not in self._silent
            counts[k] += sum(young.count for young in self._tallies(clutch) if young.sex == sex)
        return counts
