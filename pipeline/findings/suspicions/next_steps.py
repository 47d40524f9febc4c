"""What would settle a suspicion: the test cross from animals in the book, ready ones first, and how many young."""

from pipeline.findings.suspicions.counts import looks_of
from pipeline.findings.suspicions.explain import Case, likelier
from pipeline.findings.suspicions.gene_steps import for_gene
from pipeline.findings.suspicions.sizes import both_counts, findings_needed
from pipeline.findings.suspicions.stable import OTHER_SEX, Stable
from pipeline.genetics.collection import GONE, Animal, Outcome
from pipeline.genetics.genes import Gene, Inheritance
from pipeline.genetics.statements import NOTHING
from pipeline.genetics.suspicions.answer import NOBODY, Suspect
from pipeline.genetics.suspicions.unsired import sex_of

SURE = 0.99
"""From this probability on the first advice is to mend the record."""


def next_step(case: Case, stable: Stable) -> str:
    """One or two sentences."""
    says = {
        Suspect.LABEL: _for_label,
        Suspect.PARENTAGE: _for_parentage,
        Suspect.READING: _for_reading,
        Suspect.GENE_RECORD: for_gene,
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
    if gene.inheritance is not Inheritance.RECESSIVE:
        found = stable.plain_mate(animal, gene.name)
        mate = stable.worded(found, case) if found else f"an unrelated mate without {gene.name}"
        if animal.label and any(s.gene == gene.name and s.copies == 2 for s in animal.label.shows):
            return (
                f"Pair {animal.id} with {mate}: a young without {gene.name} tells that it has not two copies; if all show it, "
                f"{both_counts(1 / 2)} that it has."
            )
        return f"Pair {animal.id} with {mate}: if none shows {gene.name}, {both_counts(1 / 2)}."
    sex = OTHER_SEX.get(animal.sex or "")
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
    if own.unsired:
        return (
            f"{_sexing(case)}{say}Keep {dam} from every male for a season: if she has young again, they have no sire. A daughter "
            "paired with a male that shows nothing must give young that all carry one copy of what she shows."
        )
    shows = _shows_if_given(case)
    sire = clutch.recorded[0] if clutch.recorded else None
    gone = [name for name in (dam, sire) if name and case.collection.animals[name].status in GONE]
    if sire is None or shows is None or gone or stable.close(dam, sire):
        return f"{say}A parentage test of one young with {dam} and the males it may be of would settle it."
    return (
        f"{say}Pair {dam} with {sire} alone, after a season's rest from other males: a young that shows {shows[0]} tells that "
        f"{sire} can give it; if none does, {both_counts(shows[1])} that he can't. A parentage test settles it at once."
    )


def _shows_if_given(case: Case) -> tuple[str, float] | None:
    """What young of the dam show only if their sire gives a gene that tells, and the chance that one does not though he has
    one copy; None where she gives all that can be seen of it herself."""
    clutch, animals = case.suspicion.known_clutch, case.collection.animals
    young = {s.gene for label, _, _ in looks_of(case.family, clutch) for s in label.shows}
    dam, *sires = (animals[name].label or NOTHING for name in (clutch.dam, *clutch.recorded))
    hers, his = ({s.gene for label in labels for s in label.shows} for labels in ([dam], sires))
    genes = sorted(case.genes, key=lambda name: (name not in young, name not in his))
    for gene in map(case.catalogue.by_name.__getitem__, genes):
        if gene.inheritance is Inheritance.RECESSIVE:
            return gene.name, 1 / 2 if gene.name in hers else 3 / 4
        if gene.name not in hers:
            return gene.name, 1 / 2
        if gene.inheritance is Inheritance.INCOMPLETE:
            return gene.super_name, 3 / 4
    return None


def _sexing(case: Case) -> str:
    """Of a clutch that may have had no sire, what its unsexed young would tell; '' where all are sexed or gone.

    Young without a sire are all female, others evenly either, so each female doubles the odds.
    """
    family, clutch = case.family, case.suspicion.known_clutch
    here = [name for name in clutch.children if case.collection.animals[name].status not in GONE]
    tallied = sum(y.count for y in clutch.tallies if y.sex is None and y.outcome is Outcome.LIVE)
    unsexed = tallied + sum(sex_of(family, name) is None for name in here)
    if not unsexed:
        return ""
    needed = [(findings_needed(dict(case.suspicion.rivals)[NOBODY], 2, sure / 100), sure) for sure in (95, 99)]
    told = [f"; {sure} % sure of none if {_all_female(n)}" for n, sure in needed if 0 < n <= unsexed]
    return f"Sex the young: one male proves a sire{''.join(told)}. "


def _all_female(first: int) -> str:
    return "the first is female" if first == 1 else f"the first {first} are all female"


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
