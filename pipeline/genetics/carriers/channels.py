"""Families whose sires can't be summed in full: every clutch hangs on a channel, clutch by clutch.

A channel is the true sire's genotype at one linkage group: that of a male joined to it (the recorded ones, and any
other the records point at), or that of one of the other candidates, taken with his posterior as if he were independent
of the clutch, or that of a male unknown. Within one linkage group all clutches are thus summed over all their sires at
once. Across linkage groups each clutch's sire is weighed by what the other groups say of that clutch, until nothing
changes. What is left out is that two clutches may speak of one male at once, and that candidates who are
relatives are not independent.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from math import log
from string import ascii_lowercase

import numpy as np

from pipeline.genetics.carriers.families import Family
from pipeline.genetics.carriers.narrowing import Marginals
from pipeline.genetics.carriers.network import TABLE_LIMIT, Channel, Network, TooTangled, network
from pipeline.genetics.carriers.posterior import (
    CLUTCH_BY_CLUTCH,
    SAMPLED,
    Contradiction,
    Posterior,
    childless_states,
)
from pipeline.genetics.carriers.sampling import CHAINS, FEWEST, NARROW, SWEEPS, WORK, sampled
from pipeline.genetics.carriers.scores import Scores
from pipeline.genetics.carriers.structures import Guests

ROUNDS = 25
ROUGHLY, SETTLED = 0.1, 1e-5
"""Rounds end when no candidate's probability changes by more; the first is enough to see whom to join."""
CALM = 4
"""From this round on each new message is averaged with the last, so that the rounds don't swing."""
JOIN_LIMIT = 5_000_000
"""Table entries, over all linkage groups, that joining further males may cost; beyond, they stay independent."""
SUSPECT = 0.01
"""A candidate of the family likelier than this is joined to the clutch as himself."""
CHANNEL_LIMIT = 50_000
"""Table entries of one clutch's channel; males beyond stay independent, the least likely first."""
FLOOR = 1e-250
"""Stands for 0 in what a linkage group says of a candidate, so that logarithms stay finite."""


@dataclass(frozen=True)
class _How:
    """Exactly, within `limit` table entries; or with `sweeps` by sampling, within `work` of them in all."""

    limit: int = TABLE_LIMIT
    sweeps: int = 0
    work: int = 0


@dataclass
class _Group:
    """One Scores in the rounds. `said[k]` (groups x candidates): what each group says of clutch k's sire."""

    scores: Scores
    said: list[np.ndarray]
    states: dict[str, np.ndarray] = field(default_factory=dict)
    couples: np.ndarray = field(default_factory=lambda: np.zeros(0))
    evidence: np.ndarray = field(default_factory=lambda: np.zeros(1))
    errors: dict[str, np.ndarray] = field(default_factory=dict)


def summed_by_clutch(
    family: Family, scores: Sequence[Scores], guests: Guests, *, sampling: bool = False
) -> Posterior:
    """The posterior of a family, approximate as the module says. `scores` must have `family.parents` as nodes.

    With `sampling` each linkage group is sampled (see sampling.py) instead of computed exactly, and no evidence is
    told (NaN). Raises Contradiction where a linkage group's records are impossible, TooTangled where its graph is too wide.
    """
    joined = [clutch.recorded[: _most(scores)] for clutch in family.clutches]
    groups = [
        _Group(own, [np.ones((len(own.stack.spaces), len(c.candidates))) for c in family.clutches])
        for own in scores
    ]
    if sampling:
        share = WORK // (3 * len(groups))
        _rounds(family, groups, joined, guests, how=_How(NARROW, FEWEST, share), rounds=1)
        odds = _rounds(family, groups, joined, guests, how=_How(NARROW, SWEEPS, 2 * share), rounds=1)
    else:
        groups, odds = _computed(family, groups, joined, guests)
    states = {animal: tuple(group.states[animal] for group in groups) for animal in family.animals}
    evidence = float("nan") if sampling else _log_evidence(family, groups)
    method = SAMPLED if sampling else CLUTCH_BY_CLUTCH
    couples = tuple(group.couples for group in groups)
    errors = {
        animal: tuple(group.errors[animal] for group in groups)
        for animal in (groups[0].errors if groups else ())
    }
    own = tuple(group.scores for group in groups)
    return Posterior(family, own, states, tuple(odds), evidence, method, couples, errors)


def _computed(
    family: Family, groups: list[_Group], joined: Sequence[tuple[str, ...]], guests: Guests
) -> tuple[list[_Group], list[np.ndarray]]:
    """Rounds with the recorded males, then with whomever the records point at besides."""
    odds = _rounds(family, groups, joined, guests, ROUGHLY)
    closer = _suspects(family, odds, joined, _most([group.scores for group in groups]))
    more = {male for males in closer for male in males}
    again = [replace(group, scores=group.scores.with_nodes(more)) for group in groups]
    how = _How(TABLE_LIMIT if closer == joined else JOIN_LIMIT)
    try:
        return again, _rounds(family, again, closer, guests, SETTLED, how)
    except TooTangled:
        return groups, _rounds(family, groups, joined, guests, SETTLED)


def _rounds(
    family: Family,
    groups: Sequence[_Group],
    joined: Sequence[tuple[str, ...]],
    guests: Guests,
    settled: float = 0.0,
    how: _How = _How(),
    rounds: int = ROUNDS,
) -> list[np.ndarray]:
    """Repeats until the candidates' probabilities stand still; returns them, one array a clutch."""
    before = _odds(family, groups)
    for number in range(rounds):
        for position, group in enumerate(groups):
            old = group.said
            _weigh(family, groups, position, joined, guests, how)
            if number >= CALM:
                group.said = [np.sqrt(a * b) for a, b in zip(old, group.said, strict=True)]
        after = _odds(family, groups)
        change = max((np.abs(a - b).max() for a, b in zip(before, after, strict=True)), default=0.0)
        before = after
        if number and change < settled:
            break
    return before


def _weigh(
    family: Family,
    groups: Sequence[_Group],
    position: int,
    joined: Sequence[tuple[str, ...]],
    guests: Guests,
    how: _How,
) -> None:
    """One calibration of one Scores: new states, and what it says of every clutch's sire."""
    group = groups[position]
    others = _others(family, groups, position)
    tables = _components(family, group, joined, position, guests)
    sires = [
        Channel(
            joined[k], _mixed(others[k], tables[k], [family.clutches[k].place[m] for m in joined[k]])[:, None]
        )
        for k in range(len(family.clutches))
    ]
    net = network(group.scores, sires, how.limit, whole=not how.sweeps)
    done: Marginals
    if how.sweeps:
        done = sampled(net, len(group.scores.stack.spaces), group.scores.settings.seed, how.work, how.sweeps)
    else:
        done = _calibrated(group, net, position)
    group.said = [_said(family, net, done, k, sire, tables[k]) for k, sire in enumerate(sires)]
    if not how.sweeps:
        group.couples, group.states = _answer(group.scores, net, done, 0)
        return
    chains = [_answer(group.scores, net, done, chain) for chain in range(CHAINS)]
    group.couples, group.states = np.mean([couples for couples, _ in chains], axis=0), {}
    for animal in family.animals:
        own = np.array([states[animal] for _, states in chains])
        group.states[animal] = own.mean(axis=0)
        group.errors[animal] = own.std(axis=0, ddof=1).max(axis=-1) / np.sqrt(CHAINS)


def _answer(
    scores: Scores, net: Network, done: Marginals, lane: int
) -> tuple[np.ndarray, dict[str, np.ndarray]]:
    """The joint posterior of each clutch's parents, and that of every animal, by one lane."""

    def of(*scope: int) -> np.ndarray:
        """The lane's posterior; what lies apart from the core is the same in all."""
        table = done.marginal(scope)
        return table[:, lane % table.shape[1]]

    couples = np.stack([of(*pair) for pair in zip(net.dams, net.sires, strict=True)], axis=1)
    nodes = {animal: of(v) for animal, v in net.variables.items()}
    return couples, nodes | childless_states(scores, couples, nodes)


def _calibrated(group: _Group, net: Network, position: int) -> Marginals:
    done = net.calibrated()
    group.evidence = np.broadcast_to(done.log_evidence[:, 0], (len(group.scores.stack.spaces),))
    if not np.isfinite(group.evidence).all():
        impossible = np.flatnonzero(~np.isfinite(group.evidence))
        raise Contradiction([(position, int(g)) for g in impossible], apart=True)
    return done


def _scope(net: Network, k: int, sire: Channel) -> tuple[int, ...]:
    return (net.sires[k], *(net.variables[male] for male in sire.males))


def _components(
    family: Family, group: _Group, joined: Sequence[tuple[str, ...]], position: int, guests: Guests
) -> list[np.ndarray]:
    """Per clutch the genotypes that each candidate brings, groups x candidates x states; zero for males joined as
    themselves."""
    stack = group.scores.stack
    unknown = stack.founder(None, 0.0, stack.kind("M"))

    def brought(male: str | None) -> np.ndarray:
        """The genotypes of one male."""
        if male is None:
            return unknown
        if male in family.animals:
            return group.states.get(male, unknown)
        return guests[male][position] if male in guests else unknown

    names, own = family.tried
    every = np.stack([brought(male) for male in names], axis=1) if names else unknown
    tables = []
    for clutch, rows, there in zip(family.clutches, own, joined, strict=True):
        table = every.take(rows, axis=1)
        for male in there:
            table[:, clutch.place[male]] = 0.0
        tables.append(table)
    return tables


def _mixed(weights: np.ndarray, components: np.ndarray, joined: Sequence[int]) -> np.ndarray:
    """P(true sire's state | states of the joined males): groups x state x one axis a joined male."""
    size = components.shape[-1]
    table = np.einsum("gc,gcs->gs", weights, components).reshape(len(weights), size, *(1,) * len(joined))
    for place, c in enumerate(joined):
        shape = [size if axis in (0, place + 1) else 1 for axis in range(len(joined) + 1)]
        table = table + weights[:, c].reshape(-1, *(1,) * len(shape)) * np.eye(size).reshape(shape)
    return np.broadcast_to(table, (len(weights), *(size,) * (len(joined) + 1)))


def _said(
    family: Family,
    net: Network,
    done: Marginals,
    k: int,
    sire: Channel,
    components: np.ndarray,
) -> np.ndarray:
    """What the groups say of each candidate of clutch k beside what they were told; the largest is 1."""
    belief, table = done.marginal(_scope(net, k, sire)).mean(axis=1), sire.table[:, 0]
    ratio = np.divide(
        belief, table, out=np.zeros(np.broadcast_shapes(belief.shape, table.shape)), where=table > 0
    )
    said = np.einsum("gcs,gs->gc", components, ratio.sum(axis=tuple(range(2, ratio.ndim))))
    for place, male in enumerate(sire.males):
        letters = ascii_lowercase[: len(sire.males)]
        axes = f"Z{letters[:place]}Z{letters[place + 1 :]}"
        said[:, family.clutches[k].place[male]] = np.einsum(f"G{axes}->G", ratio)
    return np.maximum(said / said.max(axis=1, keepdims=True), FLOOR)


def _others(family: Family, groups: Sequence[_Group], position: int) -> list[np.ndarray]:
    """Per clutch, groups x candidates: prior times what all other groups say, scaled to sum 1."""
    told = []
    for k, total in enumerate(_totals(family, groups)):
        logs = total - np.log(groups[position].said[k])
        weights = np.exp(logs - logs.max(axis=1, keepdims=True))
        told.append(weights / weights.sum(axis=1, keepdims=True))
    return told


def _totals(family: Family, groups: Sequence[_Group]) -> list[np.ndarray]:
    """Per clutch and candidate, the log of prior times what every group says."""
    return [
        clutch.log_priors + sum(np.log(g.said[k]).sum(axis=0) for g in groups)
        for k, clutch in enumerate(family.clutches)
    ]


def _odds(family: Family, groups: Sequence[_Group]) -> list[np.ndarray]:
    weights = [np.exp(total - total.max()) for total in _totals(family, groups)]
    return [own / own.sum() for own in weights]


def _log_evidence(family: Family, groups: Sequence[_Group]) -> float:
    """ln P(all records) as the rounds leave it (the Bethe form: groups and clutches, less what they share)."""
    total = float(sum(group.evidence.sum() for group in groups))
    total += sum(float(np.logaddexp.reduce(own)) for own in _totals(family, groups))
    for position, group in enumerate(groups):
        for k, told in enumerate(_others(family, groups, position)):
            total -= float(np.log((told * group.said[k]).sum(axis=1)).sum())
    return total


def _most(scores: Sequence[Scores]) -> int:
    """How many males a clutch's channel has room for."""
    size = max((2, *(own.stack.size(own.stack.kind("M")) for own in scores)))
    return max(1, int(log(CHANNEL_LIMIT) / log(size)) - 1)


def _suspects(
    family: Family, odds: Sequence[np.ndarray], joined: Sequence[tuple[str, ...]], most: int
) -> list[tuple[str, ...]]:
    """The males to join: those joined already, and those of the family likelier than SUSPECT, `most` in all."""
    closer = []
    for clutch, own, males in zip(family.clutches, odds, joined, strict=True):
        ranked = sorted(zip(clutch.candidates, own, strict=True), key=lambda pair: -pair[1])
        likely = [c.male for c, chance in ranked if chance > SUSPECT]
        more = [male for male in likely if male is not None and male in family.animals]
        closer.append((*males, *(male for male in more if male not in males))[:most])
    return closer
