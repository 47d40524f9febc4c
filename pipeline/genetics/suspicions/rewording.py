"""What was written under the recorded Genes sheet, in the words of another: what was seen stays what was seen.

- Where a gene that was thought recessive shows in one copy, 'het' is dropped: the animal was seen not to show it.
- Where one and two copies turn out to look alike, or one copy not to show, 'super' is a second word for one look. Young
  that look so have it as often as such young of the book have it (`doubled`): a keeper who never writes it has one word,
  and that he writes that is no chance. Of an animal bought with it, it is what it is of any dominant gene: a claim of two
  copies, which has the label's error, so that no label is excused by a doubt of the Genes sheet.
"""

from collections.abc import Mapping
from dataclasses import replace

from pipeline.genetics.genes import Appearance, Catalogue, Gene, Inheritance, Locus
from pipeline.genetics.statements import Shown, Statement

_ALIKE = (Inheritance.INCOMPLETE, Inheritance.DOMINANT)


class Wording:
    """From the recorded catalogue to another, or to a part of it.

    `doubled`: by incomplete dominant gene, of the young that could be either the share written with two copies; none where
    absent.
    """

    def __init__(self, before: Catalogue, after: Catalogue, doubled: Mapping[str, float]) -> None:
        self.same, self._doubled = before is after, doubled
        pairs = [(before.by_name[gene.name], gene) for gene in after.genes]
        other = [(old, new) for old, new in pairs if old.inheritance is not new.inheritance]
        self._uncounted = frozenset(new.name for _, new in other)
        self._not_hidden = frozenset(
            new.name for _, new in other if new.inheritance is not Inheritance.RECESSIVE
        )
        self._coarse = {old.name: old for old, _ in other if old.inheritance is Inheritance.INCOMPLETE}
        self._known = {} if self.same else {locus.name: self._made_of(before, locus) for locus in after.loci}
        self.as_seen = all(self._known.values()) and not self.same
        self._claimed = frozenset(
            old.name for old, new in other if (old.inheritance, new.inheritance) == _ALIKE
        )
        self._said: dict[tuple[Statement, bool], Statement] = {}

    def statement(self, label: Statement, *, founder: bool = False) -> Statement:
        """A label said again. `founder`: of an animal without recorded parents."""
        if not self._uncounted:
            return label
        if (label, founder) not in self._said:
            self._said[label, founder] = self._again(label, self._claimed if founder else frozenset())
        return self._said[label, founder]

    def known(self, locus: Locus) -> tuple[Locus, ...]:
        """The recorded loci, by whose looks a locus of the other sheet is read; none where one is taken apart, or shows in
        one copy and was thought not to."""
        return self._known.get(locus.name, ())

    def words(self, look: Appearance, classes: frozenset[Appearance]) -> tuple[tuple[Appearance, float], ...]:
        """What is written for a look at a recorded locus, each with its chance. `classes`: the looks known there."""
        gene = self._coarse.get(look[0]) if len(look) == 1 else None
        share = self._doubled.get(gene.name, 0.0) if gene else 0.0
        if gene is None or not share or (gene.super_name,) not in classes:
            return ((look, 1.0),)
        return (look, 1 - share), ((gene.super_name,), share)

    def _again(self, label: Statement, claimed: frozenset[str]) -> Statement:
        dropped = [
            s.gene in self._uncounted and not (s.gene in claimed and s.copies == 2) for s in label.shows
        ]
        shows = tuple(Shown(s.gene) if drop else s for s, drop in zip(label.shows, dropped, strict=True))
        carries = tuple(c for c in label.carries if c.gene not in self._not_hidden)
        return replace(label, shows=tuple(dict.fromkeys(shows)), carries=carries)

    def _made_of(self, before: Catalogue, locus: Locus) -> tuple[Locus, ...]:
        own = {gene.name: gene for gene in locus.genes}
        loci = tuple(dict.fromkeys(before.locus_of[name] for name in own))
        whole = all(
            gene.name in own and self._keeps_looks(gene, own[gene.name]) for r in loci for gene in r.genes
        )
        return loci if whole else ()

    def _keeps_looks(self, old: Gene, new: Gene) -> bool:
        """Whether every look that the other record knows is one that the keeper knew."""
        return old.name in self._coarse or old.inheritance is new.inheritance
