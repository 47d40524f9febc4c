"""What pedigree and labels alone give: each animal by its own record and those of its ancestors, no young counted.

Clutches are taken as sired as recorded; where a pairing names several males, evenly by any of them.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from weakref import WeakKeyDictionary

import numpy as np

from pipeline.genetics.carriers.families import Clutch, Family, Half
from pipeline.genetics.carriers.network import Channel, Direct, Guest, Sire, TooTangled, network
from pipeline.genetics.carriers.scores import Scores

ANCESTRY_LIMIT = 2_000_000
"""Table entries, over all linkage groups, beyond which an animal's ancestry counts as too tangled."""


_known: WeakKeyDictionary[Scores, Mapping[str, np.ndarray]] = WeakKeyDictionary()
"""What was found, as long as the Scores are in use: carrier odds and suspicions both ask."""


def states_from_ancestors(scores: Scores) -> Mapping[str, np.ndarray]:
    """Posterior of every animal of a family given its own and its ancestors' records, groups x states.

    Animals whose ancestry is too tangled are left out.
    """
    if scores not in _known:
        _known[scores] = _states(scores)
    return _known[scores]


def _states(scores: Scores) -> dict[str, np.ndarray]:
    family = scores.family
    found = {
        animal: _scaled(scores.own[animal])
        for animal in family.animals
        if animal not in scores.clutch_of and animal not in scores.half_of
    }
    couples: dict[tuple[str, ...], np.ndarray | None] = {}
    for k, clutch in enumerate(family.clutches):
        if clutch.children:
            pair = (clutch.dam, *clutch.recorded)
            if pair not in couples:
                couples[pair] = _couple(scores, k)
            couple = couples[pair]
            if couple is not None:
                found |= {child: _young(scores, child, couple) for child in clutch.children}
    alone: dict[tuple[str, str], np.ndarray | None] = {}
    for half in family.halves:
        key = (half.parent, half.role)
        if key not in alone:
            alone[key] = _alone(scores, half.parent)
        parent = alone[key]
        if parent is not None:
            passed = scores.stack.from_one(half.role, scores.kind_of(half.animal))
            own = np.einsum("gp,gpy->gy", parent, passed) * scores.own[half.animal]
            found[half.animal] = _scaled(own)
    return found


def _young(scores: Scores, child: str, couple: np.ndarray) -> np.ndarray:
    trio = scores.stack.trio(scores.kind_of(child))
    return _scaled(np.einsum("gds,gdsy->gy", couple, trio) * scores.own[child])


def _couple(scores: Scores, k: int) -> np.ndarray | None:
    """Joint posterior of a clutch's dam and sire from their ancestors, groups x dam x sire."""
    clutch = replace(scores.family.clutches[k], tallies=(), children=())
    rootless = scores.clutch_of.keys().isdisjoint((clutch.dam, *clutch.recorded))
    rootless = rootless and scores.half_of.keys().isdisjoint((clutch.dam, *clutch.recorded))
    if len(clutch.recorded) == 1 and rootless:
        dam, sire = (_scaled(scores.own[parent]) for parent in (clutch.dam, *clutch.recorded))
        return dam[:, :, None] * sire[:, None]
    own = _ancestry(scores, (clutch.dam, *clutch.recorded), clutch)
    try:
        net = network(own, [_sire(own, c) for c in own.family.clutches], ANCESTRY_LIMIT)
    except TooTangled:
        return None
    return net.calibrated().marginal((net.dams[-1], net.sires[-1]))[:, 0]


def _alone(scores: Scores, parent: str) -> np.ndarray | None:
    own = _ancestry(scores, (parent,), None)
    try:
        net = network(own, [_sire(own, c) for c in own.family.clutches], ANCESTRY_LIMIT)
    except TooTangled:
        return None
    return net.calibrated().marginal((net.variables[parent],))[:, 0]


def _ancestry(scores: Scores, animals: Sequence[str], last: Clutch | None) -> Scores:
    """The same records for some animals and their ancestors alone; `last` is added as their family's last clutch."""
    family = scores.family
    reached, clutches, halves = set(), dict[int, list[str]](), list[Half]()
    waiting = list(animals)
    while waiting:
        animal = waiting.pop()
        if animal in reached:
            continue
        reached.add(animal)
        if animal in scores.clutch_of:
            k = scores.clutch_of[animal]
            clutches.setdefault(k, []).append(animal)
            waiting += [family.clutches[k].dam, *family.clutches[k].recorded]
        elif animal in scores.half_of:
            halves.append(scores.half_of[animal])
            waiting.append(scores.half_of[animal].parent)
    own = [
        replace(family.clutches[k], tallies=(), children=tuple(sorted(clutches[k]))) for k in sorted(clutches)
    ]
    kept = Family(
        family.species,
        {animal: row for animal, row in family.animals.items() if animal in reached},
        (*own, last) if last else tuple(own),
        tuple(halves),
        {animal: look for animal, look in family.looks.items() if animal in reached},
    )
    return scores.narrowed(kept)


def _sire(scores: Scores, clutch: Clutch) -> Sire:
    males = clutch.recorded
    if len(males) == 1:
        return Direct(males[0])
    size = scores.stack.size(scores.stack.kind("M"))
    if not males:
        return Guest(f"\0{clutch.key}", scores.stack.founder(None, 0.0, scores.stack.kind("M"))[:, None])
    if size ** (len(males) + 1) > ANCESTRY_LIMIT:
        raise TooTangled(size ** (len(males) + 1))
    table = np.zeros((size,) * (len(males) + 1))
    for place in range(len(males)):
        shape = [size if axis in (0, place + 1) else 1 for axis in range(len(males) + 1)]
        table += np.eye(size).reshape(shape) / len(males)
    return Channel(males, table[None, None])


def _scaled(own: np.ndarray) -> np.ndarray:
    total = own.sum(axis=-1, keepdims=True)
    return np.divide(own, total, out=np.zeros_like(own), where=total > 0)
