"""The sum over who sired what, in full: every assignment of candidates to clutches, weighed by prior times evidence.

Assignments that make the same graph are lanes of one calibration; they differ only in who their guests are.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from math import prod

import numpy as np

from pipeline.genetics.carriers.arithmetic import LANES
from pipeline.genetics.carriers.families import Family
from pipeline.genetics.carriers.network import TABLE_LIMIT, Direct, Guest, Sire, network
from pipeline.genetics.carriers.posterior import EXACT, Contradiction, Posterior, childless_states
from pipeline.genetics.carriers.scores import Scores

FULL_SUM = 4096
"""Structures up to which a family's sum is taken in full."""
FULL_WORK = 2_000_000_000
"""Table entries over all structures and linkage groups of one shape up to which it is (ten seconds or so)."""
CHUNK = 4_000_000
"""Table entries computed side by side (about 32 MB a table)."""

Guests = Mapping[str, tuple[np.ndarray, ...]]
"""Males of other families by ID: their genotypes as their own records leave them, one array a Scores."""


@dataclass(frozen=True)
class Shape:
    """Structures of one graph. `choices` (structures x clutches) are positions among the candidates."""

    names: tuple[str, ...]
    choices: np.ndarray


@dataclass(frozen=True)
class Outcome:
    """What one shape gives in one Scores. Leading axes: groups x structures."""

    log_evidence: np.ndarray
    nodes: Mapping[str, np.ndarray]
    couples: list[np.ndarray]


def structure_count(family: Family) -> int:
    """In how many ways the family's clutches can have been sired."""
    return prod(len(clutch.candidates) for clutch in family.clutches)


def variables_of(family: Family) -> frozenset[str]:
    """Animals that are parents under one structure or another."""
    maybe = {c.male for clutch in family.clutches for c in clutch.candidates}
    return family.parents | {male for male in maybe if male is not None and male in family.animals}


def summed(family: Family, scores: Sequence[Scores], guests: Guests) -> Posterior:
    """The exact posterior of a family. `scores` must have `variables_of(family)` as nodes.

    Raises Contradiction where no structure can have given the records, TooTangled where a graph is too wide, or all of them
    together are.
    """
    shapes = list(_shapes(family))
    told = [[_outcome(family, own, i, shape, guests) for i, own in enumerate(scores)] for shape in shapes]
    outcomes = list(zip(*told, strict=True))
    choices = np.concatenate([shape.choices for shape in shapes])
    priors = _log_priors(family, choices)
    joint = priors + sum(np.concatenate([o.log_evidence.sum(axis=0) for o in own]) for own in outcomes)
    if not np.isfinite(joint).any():
        raise _contradiction(outcomes)
    total = float(np.logaddexp.reduce(joint))
    weights = np.exp(joint - total)
    of_shape = np.split(weights, np.cumsum([len(shape.choices) for shape in shapes])[:-1])
    states: dict[str, list[np.ndarray]] = {animal: [] for animal in family.animals}
    couples = []
    for own, found in zip(scores, outcomes, strict=True):
        averaged, pairs = _averaged(own, found, of_shape)
        couples.append(pairs)
        for animal, state in averaged.items():
            states[animal].append(state)
    sires = tuple(
        np.bincount(choices[:, k], weights, minlength=len(clutch.candidates))
        for k, clutch in enumerate(family.clutches)
    )
    return Posterior(
        family,
        tuple(scores),
        {a: tuple(s) for a, s in states.items()},
        sires,
        total - float(np.logaddexp.reduce(priors)),
        EXACT,
        couples=tuple(couples),
    )


def _averaged(
    scores: Scores, outcomes: Sequence[Outcome], weights: Sequence[np.ndarray]
) -> tuple[dict[str, np.ndarray], np.ndarray]:
    """Posteriors of all animals, and of each clutch's parents, averaged over the structures."""

    def mean(tables: Iterator[np.ndarray]) -> np.ndarray:
        """The average of tables (groups x structures x ...), one a shape."""
        return sum(np.einsum("s,gs...->g...", w, t) for w, t in zip(weights, tables, strict=True))

    nodes = {animal: mean(o.nodes[animal] for o in outcomes) for animal in scores.nodes}
    paired = scores.family.clutches
    couples = mean(np.stack(o.couples, axis=2) for o in outcomes) if paired else scores.couples
    return nodes | childless_states(scores, couples, nodes), couples


def _shapes(family: Family) -> Iterator[Shape]:
    """The structures by graph; those in which an animal would be its own ancestor are left out."""
    grouped: dict[tuple[str, ...], list[tuple[int, ...]]] = {}
    for choice in product(*(range(len(clutch.candidates)) for clutch in family.clutches)):
        grouped.setdefault(_names(family, choice), []).append(choice)
    for names, choices in grouped.items():
        if _acyclic(family, names):
            yield Shape(names, np.array(choices, dtype=np.intp).reshape(len(choices), len(family.clutches)))


def _names(family: Family, choice: tuple[int, ...]) -> tuple[str, ...]:
    """Per clutch the animal that sired it, or the guest; a guest of several clutches is named by the first."""
    names: list[str] = []
    first: dict[str, int] = {}
    for k, (clutch, c) in enumerate(zip(family.clutches, choice, strict=True)):
        male = clutch.candidates[c].male
        if male is not None and male in family.animals:
            names.append(male)
        else:
            names.append(f"\0{k if male is None else first.setdefault(male, k)}")
    return tuple(names)


def _acyclic(family: Family, names: tuple[str, ...]) -> bool:
    """Whether no animal is its own ancestor: those whose parents have none left are taken away until all are gone."""
    parents = family.parents.union(names)
    left = {half.animal: {half.parent} for half in family.halves if half.animal in parents}
    for clutch, sire in zip(family.clutches, names, strict=True):
        for child in parents.intersection(clutch.children):
            left[child] = {clutch.dam, sire}
    while left:
        before = len(left)
        for animal in [*left]:
            if left.keys().isdisjoint(left[animal]):
                del left[animal]
        if len(left) == before:
            return False
    return True


def _log_priors(family: Family, choices: np.ndarray) -> np.ndarray:
    """One entry a structure."""
    total = np.zeros(len(choices))
    for clutch, own in zip(family.clutches, choices.T, strict=True):
        total += clutch.log_priors[own]
    return total


def _outcome(family: Family, scores: Scores, position: int, shape: Shape, guests: Guests) -> Outcome:
    lanes, parts, start = len(shape.choices), [], 0
    step = lanes
    while start < lanes:
        choices = shape.choices[start : start + step]
        sires = _sires(family, scores, position, shape.names, choices, guests)
        net = network(scores, sires, min(TABLE_LIMIT, FULL_WORK // structure_count(family)))
        fits = max(1, CHUNK // (net.order.entries * len(scores.stack.spaces)))
        if fits < len(choices):
            step = fits
            continue
        parts.append(_calibrated(scores, net, len(choices)))
        start += step
    return parts[0] if len(parts) == 1 else _joined(parts)


def _calibrated(scores: Scores, net, lanes: int) -> Outcome:
    done = net.calibrated()
    groups = len(scores.stack.spaces)

    def full(table: np.ndarray) -> np.ndarray:
        """The table with an entry for every group and lane."""
        if table.shape[:LANES] == (groups, lanes):
            return table
        return np.broadcast_to(table, (groups, lanes, *table.shape[LANES:]))

    nodes = {animal: full(done.marginal((v,))) for animal, v in net.variables.items()}
    couples = [full(done.marginal(pair)) for pair in zip(net.dams, net.sires, strict=True)]
    return Outcome(full(done.log_evidence), nodes, couples)


def _joined(parts: list[Outcome]) -> Outcome:
    return Outcome(
        np.concatenate([part.log_evidence for part in parts], axis=1),
        {a: np.concatenate([part.nodes[a] for part in parts], axis=1) for a in parts[0].nodes},
        [np.concatenate(tables, axis=1) for tables in zip(*(part.couples for part in parts), strict=True)],
    )


def _sires(
    family: Family, scores: Scores, position: int, names: Sequence[str], choices: np.ndarray, guests: Guests
) -> list[Sire]:
    sires: list[Sire] = []
    unknown = scores.stack.founder(None, 0.0, scores.stack.kind("M"))
    for k, name in enumerate(names):
        if name in family.animals:
            sires.append(Direct(name))
            continue
        males = [family.clutches[k].candidates[c].male for c in choices[:, k]]
        priors = [guests[male][position] if male in guests else unknown for male in males]
        sires.append(Guest(name, np.stack(priors, axis=1)))
    return sires


def _contradiction(outcomes: Sequence[Sequence[Outcome]]) -> Contradiction:
    """Groups without evidence under any structure, by Scores; all where only their combination is impossible."""
    alone, every = [], []
    for i, own in enumerate(outcomes):
        best = np.max([outcome.log_evidence.max(axis=1) for outcome in own], axis=0)
        every += [(i, g) for g in range(len(best))]
        alone += [(i, int(g)) for g in np.flatnonzero(~np.isfinite(best))]
    return Contradiction(alone or every, apart=bool(alone))
