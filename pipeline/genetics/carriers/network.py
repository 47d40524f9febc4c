"""One way in which a family's clutches were sired, as a factor graph.

A clutch hangs on its dam and on a sire: an animal of the family, a guest (a male who is no variable of the family:
unknown, or of another family, with a prior of his own), or a channel, which is one of several animals or someone else.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from pipeline.genetics.carriers.arithmetic import logs
from pipeline.genetics.carriers.elimination import Calibrated, calibrate, log_evidence
from pipeline.genetics.carriers.factors import Factor
from pipeline.genetics.carriers.ordering import Order, min_fill
from pipeline.genetics.carriers.scores import Scores

TABLE_LIMIT = 100_000_000
"""Table entries over all cliques and linkage groups beyond which a pedigree counts as too tangled for exact work (about 0.5 GB; 1 GB where logarithms are needed)."""


class TooTangled(Exception):
    """The pedigree's tables would exceed TABLE_LIMIT; it needs at least so many `entries`."""

    def __init__(self, entries: int) -> None:
        super().__init__(f"the pedigree needs at least {entries:,} table entries, more than {TABLE_LIMIT:,}")
        self.entries = entries


@dataclass(frozen=True)
class Direct:
    """Sired by an animal of the family."""

    male: str


@dataclass(frozen=True)
class Guest:
    """Sired by a male of no account in the family; clutches with guests of one name share him.

    `prior`: groups or 1 x lanes x states.
    """

    name: str
    prior: np.ndarray


@dataclass(frozen=True)
class Channel:
    """Sired by one of `males`, or by someone else: `table` (groups or 1 x 1 x states x states of each male)."""

    males: tuple[str, ...]
    table: np.ndarray


Sire = Direct | Guest | Channel


@dataclass(frozen=True)
class Network:
    """A factor graph; `variables` by animal, `sires[k]` the variable on which clutch k hangs."""

    order: Order
    sizes: tuple[int, ...]
    factors: tuple[Factor, ...]
    variables: dict[str, int]
    dams: tuple[int, ...]
    sires: tuple[int, ...]

    def calibrated(self) -> Calibrated:
        """All marginals and the evidence."""
        return calibrate(self.order, self.sizes, self.factors)

    def evidence(self) -> np.ndarray:
        """ln P(all records), groups x lanes."""
        return log_evidence(self.order, self.sizes, self.factors)


class Graph:
    """The factors of a family with the sire of each clutch as given, before an order is found for them.

    `sizes`, `factors`, `variables`, `dams` and `sires` are as in Network.
    """

    def __init__(self, scores: Scores, sires: Sequence[Sire]) -> None:
        self.scores = scores
        self.sizes: list[int] = []
        self.factors: list[Factor] = []
        self.variables = {
            animal: self.variable(scores.stack.size(scores.kind_of(animal))) for animal in scores.nodes
        }
        for animal, variable in self.variables.items():
            self.factor((variable,), logs(scores.own[animal]))
        self.sires = tuple(self._hung(sires))
        self.dams = tuple(self.variables[clutch.dam] for clutch in scores.family.clutches)
        self._young()

    def variable(self, size: int) -> int:
        """A new variable of so many states, by its number."""
        self.sizes.append(size)
        return len(self.sizes) - 1

    def factor(self, scope: tuple[int, ...], table: np.ndarray) -> None:
        """`table` as logarithms: groups x one axis a variable."""
        self.factors.append(Factor(scope, table[:, None]))

    def _hung(self, sires: Sequence[Sire]) -> Iterator[int]:
        """The variable of each clutch's sire."""
        stack = self.scores.stack
        size = stack.size(stack.kind("M"))
        guests: dict[str, int] = {}
        for sire in sires:
            if isinstance(sire, Direct):
                yield self.variables[sire.male]
            elif isinstance(sire, Guest):
                if sire.name not in guests:
                    guests[sire.name] = self.variable(size)
                    self.factors.append(Factor((guests[sire.name],), logs(sire.prior)))
                yield guests[sire.name]
            else:
                true = self.variable(size)
                scope = (true, *(self.variables[male] for male in sire.males))
                self.factors.append(Factor(scope, logs(sire.table)))
                yield true

    def _young(self) -> None:
        """What young say of their parents, those that have young of their own as variables."""
        scores, variables = self.scores, self.variables
        for k, clutch in enumerate(scores.family.clutches):
            parents = (self.dams[k], self.sires[k])
            self.factor(parents, scores.couples[:, k])
            for child in clutch.children:
                if child in variables:
                    self.factor((*parents, variables[child]), scores.stack.log_trio(scores.kind_of(child)))
        for half in scores.family.halves:
            parent = variables[half.parent]
            if half.animal in variables:
                self.factor((parent, variables[half.animal]), logs(scores.passed(half)))
            else:
                self.factor((parent,), logs(scores.said_of_parent(half)))


def network(
    scores: Scores, sires: Sequence[Sire], limit: int = TABLE_LIMIT, *, whole: bool = True
) -> Network:
    """The graph of a family with the sire of each clutch as given. Raises TooTangled beyond `limit` table entries.

    Entries are counted over all linkage groups of the Scores. Unless `whole`, the order leaves over the variables that
    would take a table of more than `limit` entries a linkage group.
    """
    build = Graph(scores, sires)
    groups = len(scores.stack.spaces)
    widest = limit // groups if whole else limit
    order = order_of(tuple(sorted({factor.scope for factor in build.factors})), tuple(build.sizes), widest)
    if whole and (order.rest or order.entries > widest):
        raise TooTangled(order.entries * groups)
    return Network(order, tuple(build.sizes), tuple(build.factors), build.variables, build.dams, build.sires)


@lru_cache(maxsize=256)
def order_of(scopes: tuple[tuple[int, ...], ...], sizes: tuple[int, ...], widest: float) -> Order:
    """`min_fill`, kept: all linkage groups and structures of one graph share one order."""
    return min_fill(scopes, sizes, widest=widest)
