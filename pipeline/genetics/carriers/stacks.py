"""Linkage groups of one shape side by side, and every kind of record as an array over them.

Arrays are (groups, states): the model of evidence.py carried from genotypes to states, once per distinct label.
"""

from collections.abc import Callable, Iterable
from functools import lru_cache

import numpy as np

from pipeline.genetics.carriers import evidence
from pipeline.genetics.carriers.arithmetic import logs
from pipeline.genetics.carriers.spaces import Kind, Space
from pipeline.genetics.collection import Basis, Settings
from pipeline.genetics.genes import SEXES, Catalogue, LinkageGroup, Locus, Sex, SexChromosomes
from pipeline.genetics.statements import Statement

ANYONE = 0.01
"""The least background an animal has whose label is set aside, so that it can be what its relatives make it."""


def error_of(basis: Basis, settings: Settings) -> float:
    """How often a label of that basis is wrong."""
    if basis is Basis.BRED_HERE:
        return settings.wrong_label_bred_here
    return settings.wrong_label_proved if basis is Basis.PROVED else settings.wrong_label_seller


class Stack:
    """Spaces of equal shape. Row g of every array belongs to `spaces[g]`; priors and likelihoods are groups x states."""

    def __init__(self, spaces: tuple[Space, ...], settings: Settings) -> None:
        self.spaces = spaces
        self._settings = settings
        self._trios: dict[Kind, np.ndarray] = {}
        self._known: dict[tuple, np.ndarray] = {}
        self._shares: dict[Sex, np.ndarray | None] = {}
        self._kinds = {sex: spaces[0].kind(sex) for sex in (*SEXES, None)}

    def only(self, spaces: tuple[Space, ...]) -> "Stack":
        """The same of some of its groups."""
        return Stack(spaces, self._settings)

    def kind(self, sex: Sex | None) -> Kind:
        """The kind of an animal of that sex; None: unknown."""
        return self._kinds[sex]

    def size(self, kind: Kind) -> int:
        """How many states animals of that kind have."""
        return len(self.spaces[0].states[kind])

    def trio(self, kind: Kind) -> np.ndarray:
        """P(young | dam, sire): groups x dam x sire x young."""
        if kind not in self._trios:
            self._trios[kind] = np.stack([space.trio(kind) for space in self.spaces])
        return self._trios[kind]

    def log_trio(self, kind: Kind) -> np.ndarray:
        """The natural logarithms of `trio`; -inf of 0."""
        key = ("log trio", kind)
        if key not in self._known:
            self._known[key] = logs(self.trio(kind))
        return self._known[key]

    def sexes(self, sex: Sex) -> np.ndarray | None:
        """Twice P(a living young is of that sex | dam, sire): groups x dam x sire; None where it is 1 throughout."""
        if sex not in self._shares:
            own = [space.sexes(sex) for space in self.spaces]
            ones = np.ones(self.trio(self.kind(sex)).shape[1:3])
            told = any(table is not None for table in own)
            self._shares[sex] = np.stack([ones if t is None else t for t in own]) if told else None
        return self._shares[sex]

    def from_one(self, role: Sex, kind: Kind) -> np.ndarray:
        """P(young | one parent), the other of the background: groups x parent x young. `role`: 'F' a known dam."""
        key = ("from one", role, kind)
        if key not in self._known:
            other = self.founder(None, 0.0, self.kind("M" if role == "F" else "F"))
            axes = "gdsy,gs->gdy" if role == "F" else "gdsy,gd->gsy"
            self._known[key] = np.einsum(axes, self.trio(kind), other)
        return self._known[key]

    def from_none(self, kind: Kind) -> np.ndarray:
        """P(young | dam) without a sire: female, and homozygous at every locus; groups x dam x young."""
        key = ("from none", kind)
        if key not in self._known:
            self._known[key] = np.stack([space.alone(kind) for space in self.spaces])
        return self._known[key]

    def meant(self, label: Statement, *, founder: bool = False) -> Statement:
        """What a label says in the words of these genes: here they are the keeper's own. `founder`: of an animal without
        recorded parents."""
        return label

    def silence(self, kind: Kind) -> np.ndarray:
        """Likelihood of no record at all."""
        return self._array(("silence", kind), lambda space: np.ones(len(space.states[kind])))

    def stranger(self, kind: Kind) -> np.ndarray:
        """Prior of a founder whose label is set aside: the background, or ANYONE where that is less."""

        def odds(locus: Locus, single: bool) -> evidence.Odds:
            """The background, or ANYONE."""
            return evidence.background_odds(
                locus, max(self._settings.background_carrier, ANYONE), single=single
            )

        return self._array(("stranger", kind), lambda space: space.prior(kind, odds))

    def founder(self, label: Statement | None, error: float, kind: Kind) -> np.ndarray:
        """Prior of an animal without recorded parents."""
        genes = label.genes() if label else frozenset()

        def odds(locus: Locus, single: bool) -> evidence.Odds:
            """What the label says of an animal without parents."""
            return evidence.founder_odds(
                label,
                locus,
                error=error,
                misread=evidence.misread_at(locus, self._settings.misread),
                background=self._settings.background_carrier,
                single=single,
            )

        def vector(space: Space) -> np.ndarray:
            """The prior over one group's states; who carries a gene hidden by one copy can't be of the sex with one."""
            prior = space.prior(kind, odds)
            if kind is Kind.EITHER and label and any(c.gene in genes & _genes(space) for c in label.carries):
                prior[len(space.states[Kind.TWO]) :] = 0
            return prior

        return self._array(("founder", label, error, kind), vector)

    def reading(self, label: Statement, kind: Kind, unreadable: Iterable[str] | None = None) -> np.ndarray:
        """Likelihood of a look. `unreadable` names what could not be told in a hatch row; None: a grown animal."""

        def odds(locus: Locus, single: bool) -> evidence.Odds:
            """What the look says."""
            if unreadable is not None and not evidence.readable(locus, unreadable):
                return dict.fromkeys(evidence.viable_genotypes(locus, single=single), 1.0)
            misread = evidence.misread_at(locus, self._settings.misread)
            return evidence.reading_odds(label, locus, misread=misread, single=single)

        key = ("reading", label, kind, None if unreadable is None else frozenset(unreadable))
        return self._array(key, lambda space: space.likelihood(kind, odds))

    def claims(self, label: Statement, error: float, kind: Kind, *, percents: bool) -> np.ndarray:
        """Likelihood of what a label claims beyond the look."""

        def odds(locus: Locus, single: bool) -> evidence.Odds:
            """What the label claims."""
            return evidence.claim_odds(label, locus, error=error, percents=percents, single=single)

        key = ("claims", label, error, kind, percents)
        return self._array(key, lambda space: space.likelihood(kind, odds))

    def _array(self, key: tuple, vector: Callable[[Space], np.ndarray]) -> np.ndarray:
        if key not in self._known:
            self._known[key] = np.stack([vector(space) for space in self.spaces])
        return self._known[key]


def stacks(catalogue: Catalogue, settings: Settings) -> tuple[Stack, ...]:
    """The linkage groups of a catalogue by shape."""
    shapes: dict[tuple, list[Space]] = {}
    for group in catalogue.groups:
        space = _space(group, catalogue.sex_chromosomes)
        shapes.setdefault(space.shape, []).append(space)
    return tuple(Stack(tuple(spaces), settings) for spaces in shapes.values())


@lru_cache(maxsize=512)
def _space(group: LinkageGroup, sexes: SexChromosomes) -> Space:
    """Groups of loci that are alike, in whatever book, have one space."""
    return Space(group, Catalogue("", (), sexes))


def _genes(space: Space) -> frozenset[str]:
    return frozenset(gene.name for locus in space.group.loci for gene in locus.genes)
