"""Every look of a family as it was written, and what of them no genotype can change.

A look that no living animal can have was misread, whatever the animal is: misread / classes for a reading, unless it is
read by the recorded classes (rereading.py); the label's error for an animal without recorded parents.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import inf, log

from pipeline.genetics.carriers.evidence import misread_at, readable
from pipeline.genetics.carriers.families import Family
from pipeline.genetics.carriers.stacks import error_of
from pipeline.genetics.collection import Basis, Outcome, Settings
from pipeline.genetics.genes import Appearance, Catalogue, Locus
from pipeline.genetics.statements import Statement, shown_at
from pipeline.genetics.suspicions.rewording import Wording


@dataclass(frozen=True)
class Look:
    """A label, what could not be told (None: a grown animal), and its basis where it is that of an animal without
    recorded parents."""

    label: Statement
    unreadable: frozenset[str] | None
    basis: Basis | None


class Looks:
    """The looks of a family, as recorded, each with how often; found by the genes that they name."""

    def __init__(self, counted: Mapping[Look, int]) -> None:
        self.counted = tuple(counted.items())
        self._naming: dict[str, list[int]] = {}
        for i, (look, _) in enumerate(self.counted):
            for gene in look.label.genes():
                self._naming.setdefault(gene, []).append(i)

    @property
    def genes(self) -> frozenset[str]:
        """Every gene that one of them names."""
        return frozenset(self._naming)

    def naming(self, genes: Iterable[str]) -> Iterator[tuple[Look, int]]:
        """Those that name one of the genes, in an order of their own."""
        for i in sorted({i for gene in genes for i in self._naming.get(gene, ())}):
            yield self.counted[i]


def looks_of(family: Family) -> Looks:
    """Every look of a family."""
    bred = family.clutch_of.keys() | {half.animal for half in family.halves}
    found: Counter[Look] = Counter()
    for animal in family.animals.values():
        look = family.looks.get(animal.id)
        if animal.label is not None:
            found[Look(animal.label, None, None if animal.id in bred else animal.basis)] += 1
        elif animal.id in bred and look is not None and look.label is not None:
            found[Look(look.label, look.unreadable, None)] += 1
    for clutch in family.clutches:
        for young in clutch.tallies:
            if young.label is not None and young.outcome is not Outcome.SLUG:
                found[Look(young.label, young.unreadable, None)] += young.count
    return Looks(found)


def doubled_in(families: Iterable[Looks]) -> dict[str, float]:
    """By gene, of the young that are written to show it the share written with two copies; only those above 0."""
    shown: Counter[str] = Counter()
    twice: Counter[str] = Counter()
    for looks in families:
        for look, count in looks.counted:
            for one in look.label.shows if look.basis is None else ():
                shown[one.gene] += count
                twice[one.gene] += count * (one.copies == 2)
    return {gene: count / shown[gene] for gene, count in twice.items() if count}


def odd_looks(looks: Looks, wording: Wording, part: Catalogue, settings: Settings) -> float:
    """ln of the chance of all looks that no living animal has at the loci of `part`, to which `wording` leads."""
    named = looks.naming(part.by_name)
    return sum((count * _odd(look, wording, part, settings) for look, count in named), 0.0)


def _odd(look: Look, wording: Wording, part: Catalogue, settings: Settings) -> float:
    if look.basis is None and wording.as_seen:
        return 0.0
    total = 0.0
    said = wording.statement(look.label)
    for locus in part.loci:
        read = look.basis is None and wording.known(locus)
        if not read and _strange(locus, said, look.unreadable):
            chance = (
                misread_at(locus, settings.misread) / len(_living(locus))
                if look.basis is None
                else error_of(look.basis, settings)
            )
            total += log(chance) if chance else -inf
    return total


def _strange(locus: Locus, label: Statement, unreadable: frozenset[str] | None) -> bool:
    if unreadable is not None and not readable(locus, unreadable):
        return False
    return shown_at(label, locus) not in _living(locus)


@lru_cache(maxsize=4096)
def _living(locus: Locus) -> frozenset[Appearance]:
    both = (False, True) if locus.sex_linked else (False,)
    return frozenset(
        locus.appearance(g) for single in both for g in locus.genotypes(single_copy=single) if locus.viable(g)
    )
