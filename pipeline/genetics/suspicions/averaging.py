"""Chances averaged over the structures: the best one's, moved by every option of every place."""

from collections.abc import Callable, Mapping
from dataclasses import replace

from pipeline.genetics.suspicions.bench import Weighed
from pipeline.genetics.suspicions.faults import Option, Structures
from pipeline.genetics.suspicions.records import Doubt, Key, LabelKey, doubts

NEGLIGIBLE = 1e-3
"""Structures less likely than this are not averaged over."""


def averaged(own: Structures, i: int, of: Callable[[Weighed], Mapping]) -> dict:
    """Chances by key of one family (by position), averaged: the best structure's, moved by every option of every place.

    `of` reads them off the family as weighed in one structure; they lie between 0 and 1.
    """
    best = of(own.best[i])
    found = dict(best)
    for option in options_of(own, i):
        there = of(option.weighed[i])
        for key in best.keys() | there.keys():
            change = there.get(key, 0.0) - best.get(key, 0.0)
            found[key] = found.get(key, 0.0) + option.probability * change
    return {key: min(max(value, 0.0), 1.0) for key, value in found.items()}


def options_of(own: Structures, i: int) -> list[Option]:
    """Options besides the best found that matter to one family."""
    return [
        option
        for place in own.places
        for option in place.options
        if i in option.weighed
        and option.probability > NEGLIGIBLE
        and option.weighed[i].solved.posterior is not None
    ]


def at_loci_of(best: Weighed, there: Weighed) -> dict[Key, Doubt]:
    """The doubts of another structure; a reading's at each locus of the best one that shares a gene with its own, of several
    the likeliest."""
    known = doubts(there.family, there.solved.weighed, priors=False)
    here, genes = genes_of(best), genes_of(there)
    if here == genes:
        return known
    found: dict[Key, Doubt] = {}
    for key, doubt in known.items():
        alike = [key] if isinstance(key, LabelKey) else [
            replace(key, locus=locus) for locus, own in here.items() if own & genes[key.locus]
        ]  # fmt: skip
        for same in alike:
            if same not in found or found[same].probability < doubt.probability:
                found[same] = doubt
    return found


def genes_of(weighed: Weighed) -> dict[str, frozenset[str]]:
    """By locus the names of its genes, in one structure."""
    spaces = (space for stack in weighed.solved.stacks for space in stack.spaces)
    loci = (locus for space in spaces for locus in space.group.loci)
    return {locus.name: frozenset(gene.name for gene in locus.genes) for locus in loci}
