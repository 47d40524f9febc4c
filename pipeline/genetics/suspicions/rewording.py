"""What was written under the recorded Genes sheet, said again under another: what was seen stays what was seen.

- Where a gene that was thought recessive shows in one copy, 'het' is dropped: the animal was seen not to show it.
- Where one and two copies turn out to look alike, or one copy not to show, a written 'super' tells nothing: each look
  counts as either word with 1/2.
- A look that no living animal can have was misread, whatever the animal is: misread / classes for a reading, unless it
  is read by the recorded classes (rereading.py); the label's error for an animal without recorded parents.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from math import inf, log
from typing import TypeVar

from pipeline.genetics.carriers.evidence import misread_at, readable
from pipeline.genetics.carriers.families import Family
from pipeline.genetics.carriers.stacks import error_of
from pipeline.genetics.collection import Basis, Outcome, Settings
from pipeline.genetics.genes import Appearance, Catalogue, Inheritance, Locus
from pipeline.genetics.statements import Shown, Statement, one_of_alike, shown_at
from pipeline.genetics.suspicions.rereading import known_loci

_Label = TypeVar("_Label", Statement, Statement | None)


@dataclass(frozen=True)
class Look:
    """A label, what could not be told (None: a grown animal), and its basis where it is that of an animal without
    recorded parents."""

    label: Statement
    unreadable: frozenset[str] | None
    basis: Basis | None


class Wording:
    """From the recorded catalogue to another, or to a part of it."""

    def __init__(self, before: Catalogue, after: Catalogue) -> None:
        self._reread = frozenset(
            locus.name for locus in after.loci if before is not after and known_loci(before, locus)
        )
        pairs = [(before.by_name[gene.name], gene) for gene in after.genes]
        other = [(old, new) for old, new in pairs if old.inheritance is not new.inheritance]
        self._uncounted = frozenset(new.name for _, new in other)
        self._not_hidden = frozenset(
            new.name for _, new in other if new.inheritance is not Inheritance.RECESSIVE
        )
        self._coarse = frozenset(old.name for old, _ in other if old.inheritance is Inheritance.INCOMPLETE)
        self._as_seen = not self._coarse and self._reread.issuperset(locus.name for locus in after.loci)
        self._genes = after.by_name.keys()
        self._known: dict[Statement, Statement] = {}

    def statement(self, label: _Label) -> _Label:
        """A label said again."""
        if label is None or not self._uncounted:
            return label
        if label not in self._known:
            self._known[label] = self._again(label)
        return self._known[label]

    def part(self, label: _Label) -> _Label:
        """A label said again, as far as it speaks of the genes of the other catalogue."""
        if label is None:
            return None
        said = self._again(label) if self._uncounted else label
        own = Statement(
            tuple(s for s in said.shows if s.gene in self._genes),
            tuple(c for c in said.carries if c.gene in self._genes),
            tuple(name for name in said.lacks if name in self._genes),
        )
        return one_of_alike(own)

    def family(self, family: Family) -> Family:
        """Every record of a family said again."""
        if not self._uncounted:
            return family
        animals = {
            name: replace(animal, label=self.statement(animal.label))
            for name, animal in family.animals.items()
        }
        clutches = tuple(
            replace(c, tallies=tuple(replace(y, label=self.statement(y.label)) for y in c.tallies))
            for c in family.clutches
        )
        looks = {name: replace(y, label=self.statement(y.label)) for name, y in family.looks.items()}
        return replace(family, animals=animals, clutches=clutches, looks=looks)

    def odd(self, look: Look, part: Catalogue, settings: Settings) -> float:
        """ln of the chance of one look that no living animal has at the loci of `part`, and of the word it was written
        with: 1/2 where two words mean one look."""
        if look.basis is None and self._as_seen:
            return 0.0
        total = 0.0
        if look.basis is None and self._coarse:
            total -= log(2) * sum(s.gene in self._coarse and s.gene in part.by_name for s in look.label.shows)
        said = self.statement(look.label)
        for locus in part.loci:
            read = look.basis is None and locus.name in self._reread
            if not read and _strange(locus, said, look.unreadable):
                chance = (
                    misread_at(locus, settings.misread) / len(_living(locus))
                    if look.basis is None
                    else error_of(look.basis, settings)
                )
                total += log(chance) if chance else -inf
        return total

    def _again(self, label: Statement) -> Statement:
        shows = tuple(Shown(s.gene) if s.gene in self._uncounted else s for s in label.shows)
        carries = tuple(c for c in label.carries if c.gene not in self._not_hidden)
        return replace(label, shows=tuple(dict.fromkeys(shows)), carries=carries)


class Looks:
    """The looks of a family, as recorded, each with how often; found by the genes that they name."""

    def __init__(self, counted: Mapping[Look, int]) -> None:
        self._counted = tuple(counted.items())
        self._naming: dict[str, list[int]] = {}
        for i, (look, _) in enumerate(self._counted):
            for gene in look.label.genes():
                self._naming.setdefault(gene, []).append(i)

    @property
    def genes(self) -> frozenset[str]:
        """Every gene that one of them names."""
        return frozenset(self._naming)

    def naming(self, genes: Iterable[str]) -> Iterator[tuple[Look, int]]:
        """Those that name one of the genes, in an order of their own."""
        for i in sorted({i for gene in genes for i in self._naming.get(gene, ())}):
            yield self._counted[i]


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


def odd_looks(looks: Looks, wording: Wording, part: Catalogue, settings: Settings) -> float:
    """ln of the chance of all looks, as far as no genotype can change it (see Wording.odd)."""
    named = looks.naming(part.by_name)
    return sum((count * wording.odd(look, part, settings) for look, count in named), 0.0)


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
