"""Every look of a family as it was written, and what of them no genotype can change.

A look that no living animal can have was misread, whatever the animal is: misread / classes, unless it is read by the
recorded classes (rereading.py). The label of an animal without recorded parents is its prior and has its error there.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import inf, log

from pipeline.genetics.carriers.evidence import misread_at, readable
from pipeline.genetics.carriers.families import Family
from pipeline.genetics.collection import Outcome, Settings
from pipeline.genetics.genes import Appearance, Catalogue, Inheritance, Locus, Sex
from pipeline.genetics.statements import Statement, shown_at
from pipeline.genetics.suspicions.rereading import classes_of
from pipeline.genetics.suspicions.rewording import Wording


@dataclass(frozen=True)
class Look:
    """A label, what could not be told (None: a grown animal), and whether a parent of the animal is recorded."""

    label: Statement
    unreadable: frozenset[str] | None
    bred: bool


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
    found: Counter[Look] = Counter()
    for look, _, count in _written(family):
        found[look] += count
    return Looks(found)


def _written(family: Family) -> Iterator[tuple[Look, Sex | None, int]]:
    """Every label and hatch row: the look, the sex as far as it is known, how many alike."""
    bred = family.clutch_of.keys() | {half.animal for half in family.halves}
    for animal in family.animals.values():
        look = family.looks.get(animal.id)
        if animal.label is not None:
            yield Look(animal.label, None, animal.id in bred), family.sexes[animal.id], 1
        elif animal.id in bred and look is not None and look.label is not None:
            yield Look(look.label, look.unreadable, True), family.sexes[animal.id], 1
    for clutch in family.clutches:
        for young in clutch.tallies:
            if young.label is not None and young.outcome is not Outcome.SLUG:
                yield Look(young.label, young.unreadable, True), young.sex, young.count


def doubled_in(families: Iterable[Family], catalogue: Catalogue) -> dict[str, float]:
    """By incomplete dominant gene, of the young that show it alone at its locus and can have two copies of it the share
    written with two; only those above 0."""
    counted: Counter[Appearance] = Counter()
    for look, sex, count in (one for family in families for one in _written(family)):
        for locus in {catalogue.locus_of[s.gene] for s in look.label.shows} if look.bred else ():
            if not catalogue.single_copy(locus, sex):
                counted[shown_at(look.label, locus)] += count
    return {
        gene.name: twice / (twice + counted[gene.name,])
        for gene in catalogue.genes
        if gene.inheritance is Inheritance.INCOMPLETE and (twice := counted[gene.super_name,])
    }


def odd_looks(looks: Looks, wording: Wording, part: Catalogue, settings: Settings) -> float:
    """ln of the chance of all looks that no living animal has at the loci of `part`, to which `wording` leads."""
    named = looks.naming(part.by_name)
    return sum((count * _odd(look, wording, part, settings) for look, count in named), 0.0)


def _odd(look: Look, wording: Wording, part: Catalogue, settings: Settings) -> float:
    if not look.bred or wording.as_seen:
        return 0.0
    total = 0.0
    said = wording.statement(look.label)
    for locus in part.loci:
        if not wording.known(locus) and _strange(locus, said, look.unreadable):
            chance = misread_at(locus, settings.misread) / len(classes_of(locus, False))
            total += log(chance) if chance else -inf
    return total


def _strange(locus: Locus, label: Statement, unreadable: frozenset[str] | None) -> bool:
    if unreadable is not None and not readable(locus, unreadable):
        return False
    return shown_at(label, locus) not in classes_of(locus, False)
