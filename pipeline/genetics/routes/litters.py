"""What one animal's pairs bring: for each mate and each young genotype the chance that a litter yields it.

Most pairs can have only a few of the genotypes, so the young are spelt out pair by pair rather than kept in a table of all
with all.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pipeline.genetics.genes import Sex
from pipeline.genetics.routes.space import Parts, State, Table


def litter_chance(look: np.ndarray, right: np.ndarray, litter: float) -> np.ndarray:
    """c: the chance that a litter holds a young of the look, share `look`, times the share of those that are right.

    `right` is the share of all young that have the look and are right.
    """
    share = np.divide(right, look, out=np.zeros_like(right), where=look > 0)
    return (1 - (1 - look) ** litter) * share


class Mates:
    """All settled animals of one sex, in the order in which they were settled: their states as rows with weights."""

    def __init__(self, groups: int) -> None:
        self.ids: list[int] = []
        self.times: list[float] = []
        self.starts: list[int] = []
        self._states, self._weights = np.zeros((64, groups), dtype=np.intp), np.zeros(64)
        self._owners, self._mixed = np.zeros(64, dtype=np.intp), np.zeros(64, dtype=bool)
        self._used = 0

    @property
    def states(self) -> np.ndarray:
        """Rows x groups."""
        return self._states[: self._used]

    @property
    def weights(self) -> np.ndarray:
        return self._weights[: self._used]

    @property
    def owners(self) -> np.ndarray:
        """The position in `ids` of each row's animal."""
        return self._owners[: self._used]

    @property
    def mixed(self) -> np.ndarray:
        """Whether each row is one of several of its animal."""
        return self._mixed[: self._used]

    def add(self, number: int, time: float, parts: Parts) -> None:
        """One animal more: its number, the season from which it can be paired, its states."""
        while self._used + len(parts) > len(self._weights):
            for name in ("_states", "_weights", "_owners", "_mixed"):
                old = getattr(self, name)
                setattr(self, name, np.concatenate([old, np.zeros_like(old)]))
        rows = slice(self._used, self._used + len(parts))
        self._states[rows] = [state for state, _ in parts]
        self._weights[rows] = [weight for _, weight in parts]
        self._owners[rows], self._mixed[rows] = len(self.ids), len(parts) > 1
        self.starts.append(self._used)
        self.ids.append(number)
        self.times.append(time)
        self._used += len(parts)


@dataclass(frozen=True)
class Brought:
    """One entry for each mate (position in `ids`) and young state (flat number) that a litter can yield, with c."""

    mate: np.ndarray
    young: np.ndarray
    chance: np.ndarray


class Litters:
    """The young of one sex: `tables` are those of the goal's groups."""

    def __init__(self, tables: Sequence[Table], litter: float) -> None:
        self.litter = litter
        self._lists = [_Lists(table) for table in tables]
        self._states = int(np.prod([len(table.look_of) for table in tables]))

    def brought(self, parts: Parts, sex: Sex, mates: Mates, least: np.ndarray) -> Brought:
        """All that the animal of these parts and that sex can have by each mate.

        What is surely below `least` (by position of the mate; inf: nothing of it is wanted) may be left out.
        """
        found = []
        for state, weight in parts:
            rows, young, right, look = self._spelt(state, sex, mates, least, len(parts) == 1)
            chance = litter_chance(look, right, self.litter) * mates.weights[rows] * weight
            found.append((mates.owners[rows], young, chance, mates.mixed[rows] | (len(parts) > 1)))
        mate, young, chance, mixed = (np.concatenate(part) for part in zip(*found, strict=True))
        if not mixed.any():
            return Brought(mate, young, chance)
        summed = np.bincount(mate[mixed] * self._states + young[mixed], weights=chance[mixed])
        keys = np.flatnonzero(summed)
        summed = summed[keys]
        return Brought(
            np.concatenate([mate[~mixed], keys // self._states]),
            np.concatenate([young[~mixed], keys % self._states]),
            np.concatenate([chance[~mixed], summed]),
        )

    def _spelt(
        self, state: State, sex: Sex, mates: Mates, least: np.ndarray, sure: bool
    ) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """Rows of the mates, young states, and their shares of the young by genotype and by look, of that sex.

        Where both are of one state, c is at most the litter times the share, and the share only falls from group to group:
        what falls short is dropped.
        """
        rows = np.flatnonzero(np.isfinite(least[mates.owners]))
        young, right, look = (
            np.zeros(len(rows), dtype=np.intp),
            np.full(len(rows), 0.5),
            np.full(len(rows), 0.5),
        )
        enough = np.where(mates.mixed, 0, least[mates.owners] / self.litter) if sure else None
        for g, lists in enumerate(self._lists):
            entry, again = lists.of(state[g], mates.states[rows, g], sex)
            rows, young = rows[again], young[again] * lists.size + lists.young[entry]
            right, look = right[again] * lists.right[entry], look[again] * lists.look[entry]
            if enough is not None:
                kept = right >= enough[rows]
                rows, young, right, look = rows[kept], young[kept], right[kept], look[kept]
        return rows, young, right, look


class _Lists:
    """The young of each pair of states at one group, one after the other."""

    def __init__(self, table: Table) -> None:
        self.sires, self.size = table.young.shape[1:]
        pair, self.young = np.nonzero(table.young.reshape(-1, self.size))
        self.right = table.young.reshape(-1, self.size)[pair, self.young]
        self.look = table.looks.reshape(len(table.young) * self.sires, -1)[pair, table.look_of[self.young]]
        self._count = np.bincount(pair, minlength=len(table.young) * self.sires)
        self._first = np.cumsum(self._count) - self._count

    def of(self, own: int, mates: np.ndarray, sex: Sex) -> tuple[np.ndarray, np.ndarray]:
        """Positions in the lists of the young by each mate, and which mate each is of."""
        pair = own * self.sires + mates if sex == "F" else mates * self.sires + own
        count = self._count[pair]
        again = np.repeat(np.arange(len(mates)), count)
        within = np.arange(len(again)) - np.repeat(np.cumsum(count) - count, count)
        return self._first[pair][again] + within, again
