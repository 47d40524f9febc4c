"""What would settle a suspicion: the test cross from animals in the book, ready ones first, and how many young."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from math import ceil, log

from pipeline.findings.suspicions.counts import named
from pipeline.findings.suspicions.evidence import informative
from pipeline.findings.suspicions.explain import Case, likelier
from pipeline.genetics.collection import Animal
from pipeline.genetics.genes import Gene, Inheritance
from pipeline.genetics.pedigree import Pedigree
from pipeline.genetics.suspicions.alternatives import Alternative, Fault
from pipeline.genetics.suspicions.answer import NOBODY, Suspect

GONE = ("sold", "died")
LOOKED_AT = 12
"""Animals of each sex, the ready ones first, among whom a pair is looked for."""
SURE = 0.99
"""From this probability on the first advice is to mend the record."""


@dataclass(frozen=True)
class Stable:
    """Animals that can be bred. `ready` are IDs known to be ready for a season, `most_kin` the inbreeding allowed."""

    animals: dict[str, Animal]
    ready: frozenset[str]
    most_kin: float = 1.0

    @cached_property
    def pedigree(self) -> Pedigree:
        """Of these animals, by the parents as recorded."""
        return Pedigree({animal.id: (animal.sire, animal.dam) for animal in self.animals.values()})

    def close(self, one: str, other: str) -> bool:
        """Whether their young would be inbred beyond what is allowed: no test is worth such young."""
        return self.pedigree.kinship([(one, other)])[one, other] > self.most_kin

    def mate_of(self, animal: Animal, mates: Iterable[Animal]) -> Animal | None:
        """The first that is no close kin of the animal."""
        return next((mate for mate in mates if not self.close(animal.id, mate.id)), None)

    def pairs(
        self, choices: Iterable[tuple[Sequence[Animal], Sequence[Animal]]]
    ) -> list[tuple[Animal, Animal]]:
        """Females and males that are no close kin, ready ones first."""
        found = [
            pair
            for females, males in choices
            for pair in product(females[:LOOKED_AT], males[:LOOKED_AT])
            if pair[0].id != pair[1].id
        ]
        kin = self.pedigree.kinship((female.id, male.id) for female, male in found)
        apart = [(f, m) for f, m in found if kin[f.id, m.id] <= self.most_kin]
        return sorted(apart, key=lambda pair: sum(animal.id not in self.ready for animal in pair))

    def mates(self, species: str, sex: str | None, showing: Iterable[str], not_id: str = "") -> list[Animal]:
        """Animals of a species and sex that show every gene, ready ones first."""
        wanted = set(showing)
        found = [
            a
            for a in self.animals.values()
            if a.species == species
            and a.status not in GONE
            and a.id != not_id
            and (sex is None or a.sex == sex)
            and a.label
            and wanted <= {s.gene for s in a.label.shows}
        ]
        return sorted(found, key=lambda a: (a.id not in self.ready, a.id))

    def plain(self, species: str, sex: str, gene: str) -> list[Animal]:
        """Animals whose labels do not name a gene at all."""
        found = [
            a
            for a in self.animals.values()
            if a.species == species
            and a.sex == sex
            and a.status not in GONE
            and a.label
            and gene not in a.label.genes()
        ]
        return sorted(found, key=lambda a: (a.id not in self.ready, a.id))

    def worded(self, animal: Animal, case: Case) -> str:
        """'B01 (Anery; ready)'."""
        words = named(animal, case.catalogue)
        return f"{words[:-1]}; ready)" if animal.id in self.ready else words


def young_needed(miss: float, sure: float) -> int:
    """How many young, each of which misses with that probability, leave a chance of 1 - sure that all miss."""
    return ceil(log(1 - sure) / log(miss) - 1e-9)


def both_counts(miss: float) -> str:
    """'5 young make it 95 % sure, 7 make it 99 %'."""
    return f"{young_needed(miss, 0.95)} young make it 95 % sure, {young_needed(miss, 0.99)} make it 99 %"


def telling_counts(likely: float, recorded: float) -> str:
    """The same where shares are told apart: young until the odds are expected to reach 19 or 99 to 1 (Wald's drift)."""
    drift = likely * log(likely / recorded) + (1 - likely) * log((1 - likely) / (1 - recorded))
    return f"about {ceil(log(19) / drift)} young make it 95 % sure, {ceil(log(99) / drift)} make it 99 %"


def next_step(case: Case, stable: Stable) -> str:
    """One or two sentences."""
    says = {
        Suspect.LABEL: _for_label,
        Suspect.PARENTAGE: _for_parentage,
        Suspect.READING: _for_reading,
        Suspect.GENE_RECORD: _for_gene,
    }
    return says[case.suspicion.kind](case, stable)


def _for_label(case: Case, stable: Stable) -> str:
    own = case.suspicion
    animal, gene = case.collection.animals[own.known_animal], case.catalogue.by_name[own.known_gene]
    mend = f"Mend its label ({likelier(case)}). To see for yourself: " if own.probability >= SURE else ""
    if animal.status in GONE:
        return f"{mend or 'Doubt its label. '}It is no longer here: tell whoever has it, and whoever has its young."
    test = test_cross(animal, gene, case, stable)
    return mend + (f"{test[0].lower()}{test[1:]}" if mend else test)


def test_cross(animal: Animal, gene: Gene, case: Case, stable: Stable) -> str:
    """Against what an animal carries of a gene."""
    sex = {"F": "M", "M": "F"}.get(animal.sex or "")
    if gene.inheritance is not Inheritance.RECESSIVE:
        found = stable.mate_of(animal, stable.plain(animal.species, sex, gene.name)) if sex else None
        mate = stable.worded(found, case) if found else f"an unrelated mate without {gene.name}"
        return f"Pair {animal.id} with {mate}: if none shows {gene.name}, {both_counts(1 / 2)}."
    visual = stable.mate_of(animal, stable.mates(animal.species, sex, [gene.name], animal.id))
    if visual:
        return f"Pair {animal.id} with {stable.worded(visual, case)}: if none shows {gene.name}, {both_counts(1 / 2)}."
    hets = [
        a
        for a in stable.mates(animal.species, sex, [], animal.id)
        if any(c.gene == gene.name and c.probability == 1 for c in a.known_label.carries)
    ]
    het = stable.mate_of(animal, hets)
    if het:
        return f"Pair {animal.id} with {stable.worded(het, case)}: if none shows {gene.name}, {both_counts(3 / 4)}."
    return (
        f"No unrelated mate for a test is in the book. With one that shows {gene.name}: if no young does, "
        f"{both_counts(1 / 2)}; with a het: {both_counts(3 / 4)}."
    )


def _for_parentage(case: Case, stable: Stable) -> str:
    own, clutch = case.suspicion, case.suspicion.known_clutch
    dam = clutch.dam
    say = "Don't sell these young with this sire's name. "
    if own.rivals[0][0] == NOBODY:
        return (
            f"{say}Keep {dam} from every male for a season: if she has young again, they have no sire. A daughter paired "
            "with a male that shows nothing must give young that all carry one copy of what she shows."
        )
    gene = next((g.name for locus in case.loci for g in locus.genes), None)
    sire = clutch.recorded[0] if clutch.recorded else None
    gone = [name for name in (dam, sire) if name and case.collection.animals[name].status in GONE]
    if sire is None or gene is None or gone or stable.close(dam, sire):
        return f"{say}A parentage test of one young with {dam} and the males it may be of would settle it."
    return (
        f"{say}Pair {dam} with {sire} alone, after a season's rest from other males: if none of their young shows "
        f"{gene} out of turn, {both_counts(1 / 2)}. A parentage test settles it at once."
    )


def _for_reading(case: Case, stable: Stable) -> str:
    own = case.suspicion
    if own.animal:
        animal = case.collection.animals[own.animal]
        if animal.status in GONE:
            return "Look at a picture of it again; if it was misread, tell whoever has it."
        return f"Look at {own.animal} again in good light. " + test_cross(
            animal, case.loci[0].genes[0], case, stable
        )
    again = (
        "Look at this young again"
        if own.young is not None and own.young.count == 1
        else "Look at these young again"
    )
    return (
        f"{again}, or at a picture, and mend the row; if it is as written after all, doubt its parents next."
    )


def _for_gene(case: Case, stable: Stable) -> str:
    own = case.suspicion
    best = next(key for key, _ in own.rivals if isinstance(key, Alternative))
    one, *more = own.genes
    pair = _pair(case, stable, best)
    value = own.value or 0.0
    if best.fault is Fault.LETHAL:
        return (
            f"Count every egg of {pair}: if no young has two copies of {one}, {both_counts(3 / 4)}. Look to pairs made already: "
            "if two copies kill, a new one costs a quarter of its young."
        )
    if best.fault is Fault.VIABLE:
        return f"Look at the young of {pair} again: one with two copies of {one} proves it."
    if best.fault in (Fault.SURVIVAL, Fault.PENETRANCE):
        share = value / (1 + value) if best.fault is Fault.SURVIVAL else value / 2
        return f"Count every egg of {pair}, and look at the dead ones: {telling_counts(share, 1 / 2)}."
    if best.fault is Fault.LINKED:
        return f"Pair {pair}: {telling_counts(value, 1 / 2)}."
    if best.fault is Fault.INHERITANCE:
        return f"Pair {pair}: {both_counts(1 / 2)} whether one copy of {one} shows."
    return (
        f"Pair {pair}: alleles give young that all show a gene, two loci give young that show neither. Each young tells; "
        "two alike leave 1 in 10,000 for a misreading of both at the usual 1 %."
    )


def _pair(case: Case, stable: Stable, best: Alternative) -> str:
    """A female and a male of the book that would tell; in words of their kind where there are none."""
    species, genes = case.suspicion.species, best.genes
    if best.fault is Fault.INHERITANCE:
        choices = [
            (stable.mates(species, "F", genes), stable.plain(species, "M", genes[0])),
            (stable.plain(species, "F", genes[0]), stable.mates(species, "M", genes)),
        ]
        kind = f"a {genes[0]} with an unrelated animal without it"
    elif best.fault in (Fault.ALLELES, Fault.NOT_ALLELES) and len(genes) == 2:
        one, other = genes
        choices = [
            (stable.mates(species, "F", [one]), stable.mates(species, "M", [other])),
            (stable.mates(species, "F", [other]), stable.mates(species, "M", [one])),
        ]
        kind = f"a {one} with a {other}"
    elif best.fault in (Fault.LETHAL, Fault.VIABLE):
        choices = [(stable.mates(species, "F", genes), stable.mates(species, "M", genes))]
        kind = f"two {genes[0]}"
    else:
        return _again(case, stable, best)
    found = stable.pairs(choices)
    return " with ".join(stable.worded(animal, case) for animal in found[0]) if found else kind


def _again(case: Case, stable: Stable, best: Alternative) -> str:
    """A pair that told already and is still here, else the kind of pair that would."""
    pairs = [
        (family.animals[c.dam], family.animals[c.recorded[0]])
        for family, c in informative(case, best)
        if c.recorded
    ]
    here = [
        pair
        for pair in dict.fromkeys((f.id, m.id) for f, m in pairs)
        if all(case.collection.animals[i].status not in GONE for i in pair) and not stable.close(*pair)
    ]
    here.sort(key=lambda pair: (sum(i not in stable.ready for i in pair), pair))
    if here:
        return " with ".join(stable.worded(case.collection.animals[i], case) for i in here[0]) + " again"
    return f"an animal that shows {' and '.join(best.genes)} with one het for {'both' if len(best.genes) > 1 else 'it'}"
