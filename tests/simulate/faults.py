"""Small collections drawn from the very model of the suspicions, faults included, with the truth beside them.

Labels of founders come first and genotypes are drawn given them, as the model has it: a label is the prior. Then, in the
book's order, each clutch's sire (or none), its young, and how they were read and written.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from random import Random

import numpy as np

from pipeline.genetics.carriers.evidence import misread_at
from pipeline.genetics.carriers.families import Clutch, families
from pipeline.genetics.carriers.stacks import error_of, stacks
from pipeline.genetics.collection import Animal, Basis, Collection, Pairing, Settings, Young
from pipeline.genetics.crosses import genotype
from pipeline.genetics.genes import Catalogue, Gene, Inheritance, Locus, SexChromosomes
from pipeline.genetics.labels import read_label
from pipeline.genetics.statements import Shown, Statement
from pipeline.genetics.suspicions.alternatives import Alternative, Variant, alternatives, changed
from pipeline.genetics.suspicions.rereading import classes_of
from pipeline.genetics.suspicions.rewording import Wording
from pipeline.genetics.suspicions.unsired import SHARE

SPECIES = "Boa"
CATALOGUE = Catalogue(
    SPECIES,
    (
        Gene("Ash", Inheritance.RECESSIVE, "Ash"),
        Gene("Ember", Inheritance.INCOMPLETE, "Ember"),
        Gene("Fog", Inheritance.RECESSIVE, "Fog"),
    ),
    SexChromosomes.XY,
)
LABELS = (
    "normal", "normal", "Ash", "het Ash", "Fog", "het Fog", "het Ash Fog", "Ember", "Ember, het Ash", "Ash, het Fog",
    "Ember, het Fog", "66% het Ash",
)  # fmt: skip

PLANTED_MISREAD = 0.05
"""How soon the one planted misreading comes, look by look."""


@dataclass
class Truth:
    """What is really so: wrong records by the subject a suspicion names, and the gene fault if there is one."""

    labels: set[tuple[str, str]] = field(default_factory=set)
    clutches: set[str] = field(default_factory=set)
    genes: frozenset[str] = frozenset()
    readings: set[tuple] = field(default_factory=set)
    fault: Alternative | None = None
    sires: dict[str, str | None] = field(default_factory=dict)


def skeleton(
    rng: Random, *, dams: int = 2, males: int = 2, litters: int = 3, kept: int = 1, settings: Settings
) -> Collection:
    """Founders with labels, pairings, and kept young and tallies that nobody has looked at yet."""
    herd, pairings, young = {}, {}, []
    for i in range(dams + males):
        sex = "F" if i < dams else "M"
        label = read_label(rng.choice(LABELS), CATALOGUE)
        herd[f"{sex}{i}"] = Animal(f"{sex}{i}", SPECIES, sex, label, Basis.SELLER, born_year=2015)
    for k in range(litters):
        pairing, season = f"P{k}", 2019 + 2 * (k // 2)
        grown = [a for a in herd.values() if a.born_year + 2 <= season]
        dam, sire = (rng.choice([a.id for a in grown if a.sex == sex]) for sex in "FM")
        pairings[pairing] = Pairing(pairing, SPECIES, season, dam, sire)
        for n in range(kept):
            name, sex = f"K{k}{n}", rng.choice("FM")
            herd[name] = Animal(name, SPECIES, sex, None, Basis.BRED_HERE, sire, dam, born_year=season)
            young.append(Young(pairing, None, sex=sex, animal=name))
        young += [Young(pairing, None, sex=rng.choice("FM")) for _ in range(rng.randint(6, 10))]
    return Collection("simulated", {SPECIES: CATALOGUE}, herd, pairings, tuple(young), settings)


def simulated(
    seed: int, settings: Settings, *, fault: str | None = None, **shape: int
) -> tuple[Collection, Truth]:
    """A collection drawn from the model; `fault` ('label', 'parentage', 'reading', 'gene record') plants exactly one."""
    rng = Random(seed)
    return _Drawn(rng, skeleton(rng, settings=settings, **shape), fault).written()


class _Drawn:
    def __init__(self, rng: Random, collection: Collection, fault: str | None) -> None:
        self.rng, self.collection, self.plant = rng, collection, fault
        self.settings, self.truth = collection.settings, Truth()
        self.chosen = self._gene_fault()
        self.catalogue = changed(CATALOGUE, self.chosen.changes if self.chosen else {})
        labels = [animal.label for animal in collection.animals.values() if animal.label]
        twice = {s.gene for label in labels for s in label.shows if s.copies == 2}
        self.wording = Wording(CATALOGUE, self.catalogue, dict.fromkeys(twice, 0.5))
        self.stacks = stacks(self.catalogue, self.settings)
        self.genotypes: dict[str, tuple] = {}
        self.planted: tuple | None = None
        self.misread = False

    def _gene_fault(self) -> Variant | None:
        """A fault of the Genes sheet by its prior, or none; a fault that is planted is drawn from the same."""
        wrong = self.settings.wrong_gene_record
        all_faults = alternatives(CATALOGUE, wrong, self.settings.misread)
        options = [(own, v) for own in all_faults for v in own.variants]
        odds = [own.prior * v.share / (1 - wrong) if wrong < 1 else 0.0 for own, v in options]
        none = 0.0 if self.plant == "gene record" else 1.0
        if self.plant not in (None, "gene record") or not wrong:
            return None
        own, variant = self.rng.choices([*options, (None, None)], [*odds, none])[0]
        self.truth.fault = own
        self.truth.genes = frozenset(own.genes) if own else frozenset()
        return variant

    def written(self) -> tuple[Collection, Truth]:
        """Founders, then clutch by clutch in the order of seasons."""
        found = families(self.collection)
        founders = [a for a in self.collection.animals.values() if a.dam is None]
        planted = self.rng.choice(founders).id if self.plant == "label" else None
        for animal in founders:
            self._founder(animal, wrong=None if self.plant is None else animal.id == planted)
        clutches = sorted((c for family in found for c in family.clutches), key=lambda c: c.key)
        if self.plant == "parentage":
            self.planted = self.rng.choice(clutches).key
        herd, young = dict(self.collection.animals), []
        for clutch in clutches:
            sire = self._sire(clutch)
            for row in [y for y in self.collection.young if y.pairing == clutch.key[0]]:
                label, sex = self._young(clutch, sire, row)
                if row.animal:
                    herd[row.animal] = replace(herd[row.animal], label=label, sex=sex)
                young.append(replace(row, label=label, sex=sex))
        return replace(self.collection, animals=herd, young=tuple(_tallied(young))), self.truth

    def _founder(self, animal: Animal, wrong: bool | None) -> None:
        """Genotypes given the label; `wrong`: until the label is wrong of some gene, or of none."""
        label, error = self.wording.statement(animal.known_label, founder=True), error_of(animal.basis, self.settings)
        for _ in range(10_000):
            states = tuple(
                self._pick(
                    space.states[stack.kind(animal.sex)],
                    stack.founder(label, error, stack.kind(animal.sex))[g],
                )
                for stack in self.stacks
                for g, space in enumerate(stack.spaces)
            )
            faults = set(self._wrong_of(label, states))
            if wrong is None or wrong == bool(faults):
                break
        self.genotypes[animal.id] = states
        self.truth.labels |= {(animal.id, gene) for gene in faults}

    def _wrong_of(self, label: Statement, states: tuple) -> Iterator[str]:
        """Genes of which a founder's label is wrong: what it says for certain, or leaves out."""
        spaces = [space for stack in self.stacks for space in stack.spaces]
        for space, state in zip(spaces, states, strict=True):
            for i, locus in enumerate(space.group.loci):
                own = genotype(state, i)
                for k, gene in enumerate(locus.genes, start=1):
                    copies = own.count(k)
                    shows = bool({gene.name, gene.super_name} & set(locus.appearance(own)))
                    stated = [s.copies for s in label.shows if s.gene == gene.name]
                    claims = [c.probability for c in label.carries if c.gene == gene.name]
                    if stated:
                        wrong = not shows or stated[0] not in (None, copies)
                    else:
                        wrong = copies == 0 if claims == [1] else copies > 0 and not claims
                    if wrong:
                        yield gene.name

    def _pick(self, states, weights):
        return self.rng.choices(states, list(np.asarray(weights, dtype=float)))[0]

    def _sire(self, clutch: Clutch) -> tuple | None:
        """The genotype of a clutch's true sire; None: none at all."""
        used = {p.sire for p in self.collection.pairings.values()}
        share = 0.0 if used & set(clutch.children) else SHARE * self.settings.wrong_sire
        options = [*clutch.candidates, None]
        odds = [c.prior * (1 - share) for c in clutch.candidates] + [share]
        right = [c is not None and c.recorded for c in options]
        if self.plant is not None:
            keep = self.planted != clutch.key
            odds = [p if r == keep else 0.0 for p, r in zip(odds, right, strict=True)]
        chosen = self.rng.choices(options, odds)[0]
        if chosen is None or not chosen.recorded:
            self.truth.clutches.add(str(clutch.key[0]))
            self.truth.sires[str(clutch.key[0])] = "none" if chosen is None else chosen.male
        if chosen is None or chosen.male is not None:
            return None if chosen is None else self.genotypes[chosen.male]
        return tuple(
            self._pick(space.states[stack.kind("M")], stack.founder(None, 0.0, stack.kind("M"))[g])
            for stack in self.stacks
            for g, space in enumerate(stack.spaces)
        )

    def _young(self, clutch: Clutch, sire: tuple | None, row: Young) -> tuple[Statement, str]:
        """One young of a clutch as it is written down."""
        sex = "F" if sire is None else row.sex
        states: list = []
        for stack in self.stacks:
            kind = stack.kind(sex)
            for g, space in enumerate(stack.spaces):
                d = space.states[stack.kind("F")].index(self.genotypes[clutch.dam][len(states)])
                if sire is None:
                    odds = stack.from_none(kind)[g, d]
                else:
                    odds = stack.trio(kind)[g, d, space.states[stack.kind("M")].index(sire[len(states)])]
                states.append(self._pick(space.states[kind], odds))
        if row.animal:
            self.genotypes[row.animal] = tuple(states)
        label, misread = self._read(states)
        subject = row.animal or (str(clutch.key[0]), label, sex)
        self.truth.readings |= {(subject, locus) for locus in misread}
        return label, sex

    def _read(self, states: Sequence) -> tuple[Statement, list[str]]:
        """How an honest keeper with the recorded Genes sheet writes what he sees, or thinks he sees."""
        shows, misread = [], []
        spaces = [space for stack in self.stacks for space in stack.spaces]
        for space, state in zip(spaces, states, strict=True):
            for i, locus in enumerate(space.group.loci):
                look, wrong = self._seen(locus, genotype(state, i))
                names = {n: gene for gene in locus.genes for n in (gene.name, gene.super_name)}
                shows += [self._shown(names[n], n) for n in look]
                misread += [locus.name] * wrong
        return Statement(tuple(shows)), misread

    def _seen(self, locus: Locus, own: tuple) -> tuple[tuple[str, ...], bool]:
        """What is written of a locus, each recorded locus by itself as far as it is whole, and whether it was misread; where
        two words mean one look, either, if a founder's label has both."""
        look = locus.appearance(own)
        weak = {n: g.penetrance for g in locus.genes if g.penetrance < 1 for n in (g.name, g.super_name)}
        for name in [n for n in look if n in weak][:1]:
            if self.rng.random() >= weak[name]:
                look = tuple(n for n in look if n not in weak)
        seen: tuple[str, ...] = ()
        wrong = False
        for one in self.wording.known(locus) or (locus,):
            names = {n for gene in one.genes for n in (gene.name, gene.super_name)}
            true = tuple(name for name in look if name in names)
            words = dict(self.wording.words(true, classes_of(one, False)))
            word = self.rng.choices(list(words), list(words.values()))[0] if len(words) > 1 else true
            taken = self._taken(one, word)
            seen, wrong = seen + taken, wrong or taken not in words
        return seen, wrong

    def _taken(self, locus: Locus, look: tuple[str, ...]) -> tuple[str, ...]:
        """The class that a look is taken for."""
        classes = sorted({locus.appearance(g) for g in locus.genotypes() if locus.viable(g)} - {look})
        rate = misread_at(locus, self.settings.misread)
        if self.plant is not None:
            rate = (
                PLANTED_MISREAD
                if self.plant == "reading" and not self.truth.readings and not self.misread
                else 0.0
            )
        if classes and self.rng.random() < rate:
            self.misread = True
            return self.rng.choice(classes)
        return look

    def _shown(self, gene: Gene, name: str) -> Shown:
        """In the words of the recorded sheet."""
        recorded = CATALOGUE.by_name[gene.name]
        if recorded.inheritance is not Inheritance.INCOMPLETE:
            return Shown(gene.name)
        return Shown(gene.name, 2 if name == recorded.super_name else 1)


def _tallied(young: list[Young]) -> list[Young]:
    """Young without a record of their own as tallies of those that are written alike."""
    own = [y for y in young if y.animal]
    rest = Counter(y for y in young if not y.animal)
    return own + [replace(y, count=n) for y, n in rest.items()]
