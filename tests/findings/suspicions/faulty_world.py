"""The long way of tests/genetics/carriers/oracle.py, widened by structural faults.

Written from the words of the model: young without a sire double one gamete of their dam; two copies may survive less;
a gene may fail to show; a row may be taken at its word at one locus.
"""

from collections import Counter
from copy import copy
from dataclasses import replace
from math import log, prod
from types import MappingProxyType

from pipeline.genetics.carriers.families import families
from pipeline.genetics.collection import Outcome
from pipeline.genetics.crosses import gametes, genotype, viable
from pipeline.genetics.genes import Inheritance
from pipeline.genetics.statements import Shown, Statement, shown_at
from tests.genetics.carriers import oracle


class FaultyWorld(oracle._World):
    """`sure`: (clutch key, tally, locus name) of a row taken as read right.

    `recorded` is the catalogue by which the keeper looked and wrote, None: this one; `after` this one; `twice` the
    share of 'super' in what he writes (see said_twice).
    """

    sure = None
    recorded = after = None
    twice = MappingProxyType({})

    @classmethod
    def knowing(cls, recorded, after, twice):
        """The same for a keeper who looks by another catalogue."""
        if after is recorded:
            return cls
        return type("Knowing", (cls,), {"recorded": recorded, "after": after, "twice": twice})

    def _again(self, label, founder=False):
        return label if self.recorded is None else said_again(label, self.recorded, self.after, founder)

    def founder(self, animal):
        heard, row = copy(self), self.family.animals[animal]
        told = {**self.family.animals, animal: replace(row, label=self._again(row.label, founder=True))}
        heard.family = replace(self.family, animals=told)
        return super(FaultyWorld, heard).founder(animal)

    def _claimed(self, label, locus, own, error, percents):
        return super()._claimed(self._again(label), locus, own, error, percents)

    def young(self, dam, sire, sex):
        return self._living(super().young(dam, sire, sex))

    def _living(self, young):
        weights = {s: p * self._survives(s[1]) for s, p in young.items()}
        whole = sum(weights.values())
        return {s: w / whole for s, w in weights.items()} if whole else {}

    def _survives(self, d):
        return prod(
            gene.survival
            for i, locus in enumerate(self.group.loci)
            for k, gene in enumerate(locus.genes, 1)
            if genotype(d, i).count(k) == 2
        )

    def _said(self, animal, state, percents):
        """An animal's look: a grown one is looked at whole."""
        row, (_, d) = self.family.animals[animal], state
        value = super()._said(animal, state, percents)
        if row.label is None or self.recorded is None:
            return value
        self.blind = set()
        for i, locus in enumerate(self.group.loci):
            plain = self._look(row.label, locus, genotype(d, i))
            value *= self._look(row.label, locus, genotype(d, i), read=True) / plain if plain else 0.0
        return value

    def _hatched(self, young, d):
        """A hatch row: what could not be told of a recorded locus is not told of it alone."""
        value = 1.0
        for i, locus in enumerate(self.group.loci):
            known = self._known(locus)
            self.blind = {
                r.name for r in known if r.later or {g.name for g in r.genes} & set(young.unreadable)
            }
            unread = locus.later or {g.name for g in locus.genes} & set(young.unreadable)
            if known or not unread:
                value *= self._look(young.label, locus, genotype(d, i), read=True)
        return value

    def _known(self, locus):
        """The recorded loci that make up this one; none where one is split or shows in other copies."""
        if self.recorded is None:
            return []
        loci = [r for r in self.recorded.loci if {g.name for g in r.genes} & {g.name for g in locus.genes}]
        kept = {g.name: g.inheritance for g in locus.genes}
        right = all(
            g.name in kept and g.inheritance in (kept[g.name], Inheritance.INCOMPLETE)
            for r in loci
            for g in r.genes
        )
        return loci if right else []

    def _written(self, recorded, label, look, single):
        """How a look is written at one recorded locus, where 'super' may be a second word for it."""
        mine = {g.name for g in recorded.genes} | {g.super_name for g in recorded.genes}
        own = tuple(name for name in look if name in mine)
        known = {recorded.appearance(x) for x in recorded.genotypes(single_copy=single) if recorded.viable(x)}
        for g in recorded.genes:
            second = (g.super_name,)
            moved = self.after.by_name[g.name].inheritance is not g.inheritance
            if own == (g.name,) and moved and g.name in self.twice and second in known:
                q = self.twice[g.name]
                return (1 - q) * self._taken(recorded, label, own, single) + q * self._taken(
                    recorded, label, second, single
                )
        return self._taken(recorded, label, own, single)

    def _taken(self, recorded, label, look, single):
        """How a look at one recorded locus is taken: for itself, or for any other class that the keeper knows."""
        both = {
            one: {recorded.appearance(g) for g in recorded.genotypes(single_copy=one) if recorded.viable(g)}
            for one in ([True, False] if recorded.sex_linked else [single])
        }
        written, classes = shown_at(label, recorded), both[single]
        m = max(self.settings.misread if g.misread is None else g.misread for g in recorded.genes)
        if look == written and look not in classes:
            return 1 - m  # seen for what it is, though the keeper's sheet knows of no such class
        if written not in classes:
            every = set().union(*both.values())
            return m / len(classes if written in every else every)
        if look == written:
            return 1.0 if len(classes) == 1 else 1 - m
        return m / (len(classes) - (look in classes))

    def _look(self, label, locus, own, read=False):
        """A mixture over what shows and what fails to."""
        known = self._known(locus) if read else []
        if known:
            return sum(
                share
                * prod(
                    self._written(r, label, look, len(own) == 1) for r in known if r.name not in self.blind
                )
                for look, share in self._shows(locus, own)
            )
        label = self._again(label)
        weak = [
            g for g in locus.genes if g.penetrance < 1 and {g.name, g.super_name} & set(locus.appearance(own))
        ]
        if not weak:
            return super()._look(label, locus, own)
        left = tuple(look for look in locus.appearance(own) if look not in (weak[0].name, weak[0].super_name))
        pool = [g for g in locus.genotypes(single_copy=len(own) == 1) if locus.viable(g)]
        shown, share = super()._look(label, locus, own), weak[0].penetrance
        alike = next(g for g in pool if locus.appearance(g) == left)
        return share * shown + (1 - share) * oracle._World._look(self, label, locus, alike)

    def _shows(self, locus, own):
        look = locus.appearance(own)
        weak = [g for g in locus.genes if g.penetrance < 1 and {g.name, g.super_name} & set(look)]
        if not weak:
            return [(look, 1.0)]
        left = tuple(name for name in look if name not in (weak[0].name, weak[0].super_name))
        return [(look, weak[0].penetrance), (left, 1 - weak[0].penetrance)]

    def half(self, half, chosen):
        if not half.alone:
            return super().half(half, chosen)
        found = {}
        _, dam = chosen[half.parent]
        sex = self.sex(half.animal) if self.single else None
        for haplotype, p in gametes(dam, self.group).items():
            d = (haplotype,) * len(dam)
            if viable(d, self.group) and sex in (None, "F"):
                state = ("F" if self.single else None, d)
                found[state] = found.get(state, 0) + float(p)
        whole = sum(found.values())
        return {s: p / whole * self.said(half.animal, s) for s, p in found.items()}

    def _tallies(self, clutch, dam, sire):
        value = 1.0
        for j, young in enumerate(clutch.tallies):
            if young.label is not None and young.outcome is not Outcome.SLUG:
                each = self.young(dam, sire, young.sex)
                told = {s: self._told(clutch, j, young, s[1]) for s in each}
                value *= sum(p * told[s] for s, p in each.items()) ** young.count
        return value

    def _told(self, clutch, j, young, d):
        value = self._hatched(young, d)
        if self.sure and self.sure[:2] == (clutch.key, j):
            for i, locus in enumerate(self.group.loci):
                if locus.name == self.sure[2] and locus.appearance(genotype(d, i)) != shown_at(
                    self._again(young.label), locus
                ):
                    return 0.0
        return value


# --- what was written, said again; in a test's own words ---


def said_again(label, before, after, founder=False):
    """A label under another Genes sheet; a founder's 'super' of a gene that turns out dominant stays a claim."""
    if label is None:
        return None
    moved = {
        g.name
        for g in before.genes
        if g.name in after.by_name and g.inheritance is not after.by_name[g.name].inheritance
    }
    dominant = {g.name for g in after.genes if g.inheritance is Inheritance.DOMINANT}
    kept = [s.gene not in moved or (founder and s.copies == 2 and s.gene in dominant) for s in label.shows]
    shows = tuple(s if keep else Shown(s.gene) for s, keep in zip(label.shows, kept, strict=True))
    recessive = {g.name for g in after.genes if g.inheritance is Inheritance.RECESSIVE}
    carries = tuple(c for c in label.carries if c.gene not in moved or c.gene in recessive)
    return Statement(shows, carries, label.lacks, label.lines)


def said_twice(book):
    """By gene, of the young of the book that show it alone at its locus and can have two copies, the share of which two
    are written."""
    (catalogue,) = book.catalogues.values()
    lone = {"XY": "M", "ZW": "F"}.get(catalogue.sex_chromosomes)
    shown, twice = Counter(), Counter()
    for label, _, count, _, sex in [look for family in families(book) for look in _looks(family)]:
        for s in label.shows:
            locus = catalogue.locus_of[s.gene]
            alone = len({t.gene for t in label.shows} & {g.name for g in locus.genes}) == 1
            if alone and not (locus.sex_linked and sex == lone):
                shown[s.gene] += count
                twice[s.gene] += count * (s.copies == 2)
    return {gene: twice[gene] / shown[gene] for gene in twice if twice[gene]}


def _looks(family):
    """(label, what could not be told, how many, whether grown, sex) of every young and animal with a recorded parent."""
    looks = []
    hatched = [child for clutch in family.clutches for child in clutch.children]
    for name in hatched + [half.animal for half in family.halves]:
        label, seen = family.animals[name].label, family.looks.get(name)
        if label is not None:
            looks.append((label, set(), 1, True, family.sexes[name]))
        elif seen is not None and seen.label is not None:
            looks.append((seen.label, seen.unreadable, 1, False, family.sexes[name]))
    for clutch in family.clutches:
        looks += [
            (y.label, y.unreadable, y.count, False, y.sex)
            for y in clutch.tallies
            if y.label is not None and y.outcome is not Outcome.SLUG
        ]
    return looks


def constants(family, before, after, settings):
    """ln of what no genotype can change: looks that can't be. Looks read by recorded loci under another sheet are none."""
    total = 0.0
    for label, unreadable, count, grown, _ in _looks(family):
        label = said_again(label, before, after)
        for locus in after.loci:
            readable = grown or not (locus.later or {g.name for g in locus.genes} & set(unreadable))
            classes = {locus.appearance(g) for g in locus.genotypes() if locus.viable(g)}
            keeper = FaultyWorld.knowing(before, after, {})
            if after is not before and keeper._known(keeper, locus):
                continue
            if readable and shown_at(label, locus) not in classes:
                m = max(settings.misread if g.misread is None else g.misread for g in locus.genes)
                total += count * log(m / len(classes))
    return total
