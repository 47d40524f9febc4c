"""What was written under the recorded Genes sheet, said again under another: what was seen stays what was seen.

- Where a gene that was thought recessive shows in one copy, 'het' is dropped: the animal was seen not to show it.
- Where one and two copies turn out to look alike, or one copy not to show, a written 'super' tells nothing: each look
  counts as either word with 1/2.
- A look that no living animal can have under the other record was misread, whatever the animal is: misread / classes
  for a reading, the label's error for an animal without recorded parents.
"""

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from math import inf, log

from pipeline.genetics.carriers.evidence import misread_at, readable
from pipeline.genetics.carriers.families import Family
from pipeline.genetics.carriers.stacks import error_of
from pipeline.genetics.collection import Outcome, Settings
from pipeline.genetics.genes import Appearance, Catalogue, Inheritance, Locus
from pipeline.genetics.statements import Shown, Statement, shown_at


class Wording:
    """From one catalogue to another. `part` is the catalogue whose loci are weighed, a part of `after`."""

    def __init__(self, before: Catalogue, after: Catalogue) -> None:
        pairs = [(before.by_name[gene.name], gene) for gene in after.genes]
        other = [(old, new) for old, new in pairs if old.inheritance is not new.inheritance]
        self._uncounted = frozenset(new.name for _, new in other)
        self._not_hidden = frozenset(
            new.name for _, new in other if new.inheritance is not Inheritance.RECESSIVE
        )
        self._coarse = frozenset(old.name for old, _ in other if old.inheritance is Inheritance.INCOMPLETE)
        self._known: dict[Statement, Statement] = {}

    def statement(self, label: Statement | None) -> Statement | None:
        """A label said again."""
        if label is None or not self._uncounted:
            return label
        if label not in self._known:
            self._known[label] = self._again(label)
        return self._known[label]

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

    def coarse_looks(self, family: Family, part: Catalogue) -> float:
        """ln of the chance that each look was written with the word it was: 1/2 where two words mean one look."""
        names = self._coarse & part.by_name.keys()
        if not names:
            return 0.0
        shown = sum(
            count * sum(s.gene in names for s in label.shows)
            for label, _, count, error in readings(family)
            if error is None
        )
        return -shown * log(2)

    def _again(self, label: Statement) -> Statement:
        shows = tuple(Shown(s.gene) if s.gene in self._uncounted else s for s in label.shows)
        carries = tuple(c for c in label.carries if c.gene not in self._not_hidden)
        return replace(label, shows=tuple(dict.fromkeys(shows)), carries=carries)


def readings(family: Family) -> Iterator[tuple[Statement, frozenset[str] | None, int, str | None]]:
    """Every look of a family: the label, what could not be told (None: a grown animal), how many, and the ID where it
    is the label of an animal without recorded parents."""
    bred = family.clutch_of.keys() | {half.animal for half in family.halves}
    for animal in family.animals.values():
        look = family.looks.get(animal.id)
        if animal.label is not None:
            yield animal.label, None, 1, None if animal.id in bred else animal.id
        elif animal.id in bred and look is not None and look.label is not None:
            yield look.label, look.unreadable, 1, None
    for clutch in family.clutches:
        for young in clutch.tallies:
            if young.label is not None and young.outcome is not Outcome.SLUG:
                yield young.label, young.unreadable, young.count, None


def impossible_looks(family: Family, part: Catalogue, settings: Settings) -> float:
    """ln of the chance of all looks that no living animal has at the loci of a catalogue."""
    total, known = 0.0, {}
    for label, unreadable, count, founder in readings(family):
        key = (label, unreadable)
        if key not in known:
            known[key] = [locus for locus in part.loci if _strange(locus, label, unreadable)]
        for locus in known[key]:
            if founder is None:
                chance = misread_at(locus, settings.misread) / len(_living(locus))
            else:
                chance = error_of(family.animals[founder].basis, settings)
            total += count * (log(chance) if chance else -inf)
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
