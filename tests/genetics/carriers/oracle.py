"""The model summed the long way: every sire of every clutch, every diplotype of every animal, one at a time.

Written from the model's words without the package's arrays; slow, for pedigrees of half a dozen animals.
"""

from itertools import product
from math import prod

from pipeline.genetics.carriers.families import families
from tests.genetics.carriers.oracle_world import World as _World


def posteriors(collection, found=None):
    """A (P of all records, states by group and animal, candidates by clutch) a family, those of `found` where given."""
    found = families(collection) if found is None else found
    abroad = {}
    for family in found:
        recorded, worlds = [0 for _ in family.clutches], {}
        for g in range(len(collection.catalogues[family.species].groups)):
            weight, own = _group(collection, family, g, recorded, {}, worlds)
            for animal, states in own.items():
                abroad[g, animal] = {s: p / weight for s, p in states.items()} if weight else None
    return [_family(collection, family, abroad) for family in found]


def _family(collection, family, abroad):
    groups = range(len(collection.catalogues[family.species].groups))
    total, sires = 0.0, [[0.0] * len(c.candidates) for c in family.clutches]
    sums = [{} for _ in groups]
    mass, worlds = 0.0, {}
    for choice in product(*(range(len(c.candidates)) for c in family.clutches)):
        if _looped(family, choice):
            continue
        prior = prod(c.candidates[i].prior for c, i in zip(family.clutches, choice, strict=True))
        mass += prior
        parts = [_group(collection, family, g, choice, abroad, worlds) for g in groups]
        weight = prior * prod(p for p, _ in parts)
        total += weight
        for k, i in enumerate(choice):
            sires[k][i] += weight
        for g, (own, states) in enumerate(parts):
            for animal, table in states.items():
                into = sums[g].setdefault(animal, {})
                for state, p in table.items():
                    into[state] = into.get(state, 0) + (weight * p / own if own else 0)
    states = [{a: {s: p / total for s, p in t.items()} for a, t in own.items()} for own in sums]
    return total / mass, states, [[p / total for p in own] for own in sires]


def _looped(family, choice):
    parents = {h.animal: {h.parent} for h in family.halves}
    for clutch, i in zip(family.clutches, choice, strict=True):
        for child in clutch.children:
            parents[child] = {clutch.dam, clutch.candidates[i].male}

    def reaches(animal, start, seen):
        own = [p for p in parents.get(animal, ()) if p and p not in seen]
        return start in own or any(reaches(p, start, seen | {p}) for p in own)

    return any(reaches(start, start, set()) for start in parents)


def _group(collection, family, g, choice, abroad, worlds):
    """P(records of one linkage group | who sired what), and the joint weight of each animal's states."""
    catalogue = collection.catalogues[family.species]
    if g not in worlds:
        worlds[g] = _World(collection, family, catalogue, catalogue.groups[g])
    world = worlds[g]
    sires, guests = _sires(world, family, choice, {male: p for (own, male), p in abroad.items() if own == g})
    parents = {}
    for clutch, sire in zip(family.clutches, sires, strict=True):
        parents |= dict.fromkeys(clutch.children, (clutch.dam, sire))
    halves = {h.animal: h for h in family.halves}
    order = _oldest_first(family, guests, parents, halves)
    total, sums = 0.0, {a: {} for a in family.animals}
    stack = [({}, 1.0)]
    while stack:
        chosen, weight = stack.pop()
        if len(chosen) < len(order):
            animal = order[len(chosen)]
            options = guests[animal] if animal in guests else _options(world, animal, chosen, parents, halves)
            stack += [({**chosen, animal: s}, weight * p) for s, p in options.items() if p > 0]
            continue
        weight *= prod(
            world.tallies(clutch, chosen[clutch.dam], chosen[sire])
            * world.sexes_of(clutch, chosen[clutch.dam], chosen[sire])
            for clutch, sire in zip(family.clutches, sires, strict=True)
        )
        total += weight
        for animal in sums:
            state = chosen[animal]
            sums[animal][state] = sums[animal].get(state, 0) + weight
    return total, sums


def _sires(world, family, choice, abroad):
    """Each clutch's sire by name, and the states of those who are not of the family: known abroad, or anyone."""
    sires, guests = [], {}
    for k, (clutch, i) in enumerate(zip(family.clutches, choice, strict=True)):
        male = clutch.candidates[i].male
        if male is not None and male in family.animals:
            sires.append(male)
            continue
        name = f"?{k if male is None else male}"
        guests[name] = abroad.get(male) if male is not None else None
        if guests[name] is None:
            guests[name] = {("M", d): p for d, p in world.background("M").items()}
        sires.append(name)
    return sires, guests


def _oldest_first(family, guests, parents, halves):
    """Everyone, parents before their young."""
    order, waiting = list(guests), list(family.animals)
    while waiting:
        animal = next(
            a
            for a in waiting
            if all(p in order for p in parents.get(a, ())) and (a not in halves or halves[a].parent in order)
        )
        order.append(animal)
        waiting.remove(animal)
    return order


def _options(world, animal, chosen, parents, halves):
    """The states of an animal of the family with their weights, its parents' being chosen."""
    if animal in parents:
        dam, sire = parents[animal]
        young = world.young(chosen[dam], chosen[sire], world.sex(animal))
        return {s: p * world.said(animal, s) for s, p in young.items()}
    if animal in halves:
        return world.half(halves[animal], chosen)
    return world.founder(animal)
