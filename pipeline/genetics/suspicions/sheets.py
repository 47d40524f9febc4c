"""Linkage groups of several Genes sheets side by side, each with its own wording of what was written."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

import numpy as np

from pipeline.genetics.carriers.spaces import Kind
from pipeline.genetics.carriers.stacks import Stack
from pipeline.genetics.collection import Settings
from pipeline.genetics.genes import Catalogue
from pipeline.genetics.statements import NOTHING, Statement, about, one_of_alike
from pipeline.genetics.suspicions.alternatives import Changes, changed, part_of
from pipeline.genetics.suspicions.rereading import restacked
from pipeline.genetics.suspicions.rewording import Wording

TOGETHER = ("locus", "rank", "misread", "linked_locus", "recombination")
"""Fields of a gene's record that say which loci travel together."""
LINKS = ("linked_locus", "recombination")
"""Those of them that say nothing of how an animal looks."""
MOST = 500
"""Labels that a part keeps what they say of."""
Key = tuple[frozenset[str], str]


@dataclass(frozen=True, eq=False)
class Part:
    """One linkage group under one Genes sheet, known by its genes and the changes to them.

    Parts of the same `looks` differ at most in how often their loci part. `apart` are the groups that its loci make
    where the changes leave them apart: none where they don't join any.
    """

    key: Key
    looks: Key
    catalogue: Catalogue
    wording: Wording
    stack: Stack
    apart: tuple["Part", ...] = field(default=())
    _known: dict[tuple, dict[Statement, np.ndarray]] = field(default_factory=dict, init=False, repr=False)

    def said(self, label: Statement, how: tuple, one: "_Says") -> np.ndarray:
        """What a label says to the part: an array over its states, kept by `how` it is said."""
        known = self._known.setdefault(how, {})
        if label not in known:
            if len(known) >= MOST:
                known.clear()
            known[label] = one(self, about(label, self.key[0]))[0]
        return known[label]


_Says = Callable[[Part, Any], np.ndarray]
"""How likely a part makes a label as it words it."""


class Sheets(Stack):
    """A stack whose groups are parts of one shape, of different Genes sheets."""

    def __init__(self, parts: Sequence[Part], settings: Settings) -> None:
        super().__init__(tuple(part.stack.spaces[0] for part in parts), settings)
        alike = {part.looks: part for part in parts}
        self._apart = tuple(alike.values())
        self._row = np.array([list(alike).index(part.looks) for part in parts], dtype=np.intp)
        self._naming: dict[str, list[int]] = {}
        for i, part in enumerate(self._apart):
            for gene in part.key[0]:
                self._naming.setdefault(gene, []).append(i)

    def founder(self, label: Statement | None, error: float, kind: Kind) -> np.ndarray:
        return self._said(
            label, ("founder", error, kind), lambda part, said: part.stack.founder(said, error, kind)
        )

    def reading(self, label: Statement, kind: Kind, unreadable: Iterable[str] | None = None) -> np.ndarray:
        return self._said(
            label,
            ("reading", kind, unreadable),
            lambda part, said: part.stack.reading(said, kind, unreadable),
        )

    def claims(self, label: Statement, error: float, kind: Kind, *, percents: bool) -> np.ndarray:
        return self._said(
            label,
            ("claims", error, kind, percents),
            lambda part, said: part.stack.claims(said, error, kind, percents=percents),
        )

    def _said(self, label: Statement | None, how: tuple, one: _Says) -> np.ndarray:
        key = (label, *how)
        if key not in self._known:
            self._known[key] = self._by_part(label, how, one)[self._row]
        return self._known[key]

    def _by_part(self, label: Statement | None, how: tuple, one: _Says) -> np.ndarray:
        """What a label says to each part; those of whose genes it says nothing have that in common."""
        if label is None or not label.genes():
            key = (label, "by part", *how)
            if key not in self._known:
                self._known[key] = np.concatenate([one(part, label) for part in self._apart])
            return self._known[key]
        said = self._by_part(NOTHING, how, one).copy()
        label = one_of_alike(label)
        for i in {i for gene in label.genes() for i in self._naming.get(gene, ())}:
            said[i] = self._apart[i].said(label, how, one)
        return said


class Desk:
    """The linkage groups of a species under whatever changes to its Genes sheet, each made once, for books of one Genes
    sheet too, unless it depends on how often the book says 'super' (`doubled`, see Wording)."""

    def __init__(self, catalogue: Catalogue, settings: Settings, doubled: Mapping[str, float]) -> None:
        self.catalogue, self.settings, self.doubled = catalogue, settings, doubled
        rates = (settings.background_carrier, settings.misread)
        self._parts = _drawer(catalogue.species, catalogue.genes, catalogue.sex_chromosomes, *rates)
        self._own_words: dict[Key, Part] = {}
        self._sheets: dict[tuple[Key, ...], Sheets] = {}

    def parts(self, changes: Changes, genes: Iterable[str]) -> tuple[Part, ...]:
        """The groups of some genes, each with the changes to its own genes."""
        found = []
        own = part_of(changed(self.catalogue, changes), genes)
        for group in own.groups:
            names = frozenset(gene.name for locus in group.loci for gene in locus.genes)
            said = {name: changes[name] for name in sorted(names & changes.keys())}
            key = _key(names, said)
            worded = any(self.doubled.get(name) and "inheritance" in fields for name, fields in said.items())
            drawer = self._own_words if worded else self._parts
            if key not in drawer:
                drawer[key] = self._made(key, part_of(own, names), said)
            found.append(drawer[key])
        return tuple(found)

    def _made(self, key: Key, alone: Catalogue, changes: Changes) -> Part:
        wording = Wording(self.catalogue, alone, {name: self.doubled.get(name, 0.0) for name in changes})
        (stack,) = restacked(wording, alone, self.settings)
        plain = _without(changes, TOGETHER)
        apart = self.parts(plain, key[0]) if plain != changes else ()
        joined = len(apart) > 1
        return Part(
            key,
            _key(key[0], _without(changes, LINKS)),
            alone,
            wording,
            stack,
            apart if joined else (),
        )

    def sheets(self, parts: Sequence[Part]) -> Sheets:
        """Parts of one shape as one stack."""
        keys = tuple(part.key for part in parts)
        if keys not in self._sheets:
            self._sheets[keys] = Sheets(parts, self.settings)
        return self._sheets[keys]


@lru_cache(maxsize=4)
def _drawer(*made_of: object) -> dict[Key, Part]:
    """Where parts of one Genes sheet are kept that are read at the same rates."""
    return {}


def _key(names: frozenset[str], changes: Changes) -> Key:
    return names, repr([(name, sorted(fields.items())) for name, fields in changes.items()])


def _without(changes: Changes, left_out: Iterable[str]) -> dict[str, dict[str, object]]:
    return {
        name: {field: value for field, value in fields.items() if field not in left_out}
        for name, fields in changes.items()
    }
