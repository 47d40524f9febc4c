"""Which records can't all be right, where every error rate is zero, and the answer without them.

A smallest set of clashing records is found by QuickXplain (Junker 2004, "QuickXplain: preferred explanations and
relaxations for over-constrained problems"; from memory): every record of it is needed for the contradiction. Its
records are set aside for the genes they clash over, and the rest is weighed again.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from pipeline.genetics.carriers.families import Family
from pipeline.genetics.carriers.posterior import Contradiction
from pipeline.genetics.carriers.scores import Record, Scores
from pipeline.genetics.collection import Outcome

Guests = Mapping[str, tuple[np.ndarray, ...]]
Run = Callable[[Family, Sequence[Scores], Guests], object]


@dataclass(frozen=True)
class Clash:
    """Records of a family that contradict one another at `genes`; setting any one of them aside would do."""

    genes: tuple[str, ...]
    records: tuple[Record, ...]


def consistent_scores(
    scores: Sequence[Scores], clash: Contradiction, run: Run, guests: Guests
) -> tuple[list[Scores], tuple[Clash, ...], Guests]:
    """The Scores without the records that clash, what clashed, and the guests in the order of the new Scores.

    A linkage group that is impossible by itself becomes a Scores of its own, so that its records still count for all
    other genes; where only groups together are impossible, they stay together.
    """
    bad = set(clash.groups)
    parts: list[list[tuple[int, int]]] = [
        [(i, g) for g in range(len(own.stack.spaces)) if (i, g) not in bad] for i, own in enumerate(scores)
    ]
    troubled = [[place] for place in clash.groups] if clash.apart else [list(clash.groups)]
    kept = [part for part in parts if part]
    found, hosts, clashes = [_taken(scores, part) for part in kept], list(kept), []
    for part in troubled:
        pieces = [[place for place in part if place[0] == i] for i in sorted({i for i, _ in part})]
        hosted = _hosted(guests, pieces)
        own, clashing = _reconciled([_taken(scores, piece) for piece in pieces], run, hosted)
        found += own
        hosts += pieces
        clashes += clashing
    return found, tuple(clashes), _hosted(guests, hosts)


def _reconciled(scores: list[Scores], run: Run, guests: Guests) -> tuple[list[Scores], list[Clash]]:
    family = scores[0].family
    genes = tuple(
        gene.name
        for own in scores
        for space in own.stack.spaces
        for locus in space.group.loci
        for gene in locus.genes
    )
    every, clashes = records_of(family), []
    aside: frozenset[Record] = frozenset()

    def possible(records: Sequence[Record]) -> bool:
        """Whether these records, all others left out, can be right together."""
        silent = frozenset(every) - frozenset(records)
        try:
            run(family, [own.without(silent) for own in scores], guests)
        except Contradiction:
            return False
        return True

    while not possible([record for record in every if record not in aside]):
        clash = smallest_clash([record for record in every if record not in aside], possible)
        if not clash:
            break
        clashes.append(Clash(genes, tuple(clash)))
        aside |= frozenset(clash)
    return [own.without(aside) for own in scores], clashes


def records_of(family: Family) -> list[Record]:
    """Every record that speaks of genes, animals first."""
    animals: list[Record] = [
        ("animal", animal.id, 0)
        for animal in family.animals.values()
        if animal.label is not None
        or (animal.id in family.looks and family.looks[animal.id].label is not None)
    ]
    tallies: list[Record] = [
        ("young", f"{clutch.key[0]} / {clutch.key[1]}", j)
        for clutch in family.clutches
        for j, young in enumerate(clutch.tallies)
        if young.label is not None and young.outcome is not Outcome.SLUG
    ]
    return animals + tallies


def smallest_clash(records: list[Record], possible: Callable[[Sequence[Record]], bool]) -> list[Record]:
    """A smallest set of records that can't be true together; empty where even none can. QuickXplain."""
    if not possible([]):
        return []

    def explain(base: list[Record], changed: bool, rest: list[Record]) -> list[Record]:
        """A smallest part of `rest` that clashes with `base`; `changed`: whether base grew since it was last tried."""
        if changed and not possible(base):
            return []
        if len(rest) == 1:
            return rest
        first, second = rest[: len(rest) // 2], rest[len(rest) // 2 :]
        later = explain(base + first, True, second)
        earlier = explain(base + later, bool(later), first)
        return earlier + later

    return explain([], False, records)


def _taken(scores: Sequence[Scores], places: Sequence[tuple[int, int]]) -> Scores:
    """A Scores of some linkage groups of one."""
    own = scores[places[0][0]]
    return own.at(own.stack.only(tuple(own.stack.spaces[g] for _, g in places)))


def _hosted(guests: Guests, parts: Sequence[Sequence[tuple[int, int]]]) -> Guests:
    return {
        male: tuple(arrays[part[0][0]][[g for _, g in part]] for part in parts)
        for male, arrays in guests.items()
    }
