"""What is known of a family once its records are weighed, and how the childless young get their share of it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from pipeline.genetics.carriers.families import Family
from pipeline.genetics.carriers.scores import Scores

EXACT = "exact"
CLUTCH_BY_CLUTCH = "clutch by clutch"
SAMPLED = "sampled"
ERROR_LIMIT = 0.05
"""Sampled odds with a larger standard error than this are withheld: the chains have not met."""


@dataclass(frozen=True)
class Posterior:
    """All posterior probabilities of one family.

    `states[animal]` has one array (groups x states) a Scores in `scores`; `sires[k]` the probability of each candidate
    of clutch k; `log_evidence` is ln P(all records). `method` is EXACT: summed over every way the clutches can
    have been sired; or CLUTCH_BY_CLUTCH, see channels.py; or SAMPLED, the same by sampling, see sampling.py.
    """

    family: Family
    scores: tuple[Scores, ...]
    states: Mapping[str, tuple[np.ndarray, ...]]
    sires: tuple[np.ndarray, ...]
    log_evidence: float
    method: str
    couples: tuple[np.ndarray, ...] = ()
    """A Scores: the joint posterior of each clutch's parents, groups x clutches x dam x sire."""
    errors: Mapping[str, tuple[np.ndarray, ...]] = field(default_factory=dict)
    """SAMPLED: each animal's standard error, one array (groups) a Scores, the largest of its states."""

    def told(self, animal: str, part: int) -> np.ndarray:
        """Whether the animal's odds are known to ERROR_LIMIT: a truth for each linkage group of Scores number `part`."""
        if not self.errors:
            return np.ones(len(self.scores[part].stack.spaces), dtype=bool)
        return self.errors[animal][part] <= ERROR_LIMIT

    @property
    def error(self) -> float:
        """The largest standard error of any odds told; 0 where none is sampled."""
        every = np.concatenate([np.zeros(1), *(own for errors in self.errors.values() for own in errors)])
        return float(every[every <= ERROR_LIMIT].max())

    @property
    def withheld(self) -> int:
        """How many odds, one an animal and linkage group, are not told."""
        return sum(int((own > ERROR_LIMIT).sum()) for errors in self.errors.values() for own in errors)


class Contradiction(Exception):
    """The records can't all be right: under every structure their probability is zero.

    `groups` are (position of the Scores, row in its stack); `apart`: each of them is impossible by itself, else only
    all of them together.
    """

    def __init__(self, groups: Sequence[tuple[int, int]], *, apart: bool) -> None:
        super().__init__("the records of a family contradict one another")
        self.groups = tuple(groups)
        self.apart = apart


def childless_states(
    scores: Scores, couples: np.ndarray, nodes: Mapping[str, np.ndarray]
) -> dict[str, np.ndarray]:
    """Posterior of every animal outside the network, groups x states.

    `couples` (groups x clutches x dam x sire) is the joint posterior of each clutch's parents, `nodes` the posterior of
    every animal in the network. Given its parents a childless young depends on nothing but its own record.
    """
    found: dict[str, np.ndarray] = {}
    for fold in scores.folds:
        rows = [i for i, animals in enumerate(fold.animals) if animals]
        if not rows:
            continue
        parents, given = couples[:, fold.clutch[rows]], fold.likely[:, fold.saying[rows]]
        weight = np.divide(parents, given, out=np.zeros(given.shape), where=given > 0)
        trio = scores.stack.trio(fold.kind)
        flat = weight.reshape(*weight.shape[:2], -1) @ trio.reshape(len(trio), -1, trio.shape[-1])
        own = _scaled(flat * fold.sayings[:, fold.saying[rows]])
        found |= {
            a: state for row, state in zip(rows, own.swapaxes(0, 1), strict=True) for a in fold.animals[row]
        }
    for half in scores.leaf_halves():
        said = scores.said_of_parent(half)
        weight = np.divide(nodes[half.parent], said, out=np.zeros(said.shape), where=said > 0)
        own = np.einsum("gp,gpy->gy", weight, scores.passed(half)) * scores.own[half.animal]
        found[half.animal] = _scaled(own)
    return found


def _scaled(own: np.ndarray) -> np.ndarray:
    """Rows that sum to 1; rounding alone keeps them from it."""
    total = own.sum(axis=-1, keepdims=True)
    return np.divide(own, total, out=np.zeros_like(own), where=total > 0)
