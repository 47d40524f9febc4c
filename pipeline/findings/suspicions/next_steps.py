"""What would settle a suspicion: the test cross from animals in the book, ready ones first, and how many young."""

from dataclasses import dataclass

from pipeline.findings.suspicions.counts import looks_of
from pipeline.findings.suspicions.evidence import told_by
from pipeline.findings.suspicions.explain import Case, likelier
from pipeline.findings.suspicions.gene_steps import for_gene
from pipeline.findings.suspicions.sizes import SURE, both_counts, findings_needed
from pipeline.findings.suspicions.stable import OTHER_SEX, Stable
from pipeline.genetics.collection import GONE, Animal, Outcome
from pipeline.genetics.genes import SEX_WORDS, WILD, Gene, Inheritance, Locus, Sex
from pipeline.genetics.statements import NOTHING, Statement, genotypes_at, shown_at
from pipeline.genetics.suspicions.answer import NOBODY, Suspect
from pipeline.genetics.suspicions.unsired import sex_of

_CHILDREN: dict[Sex, str] = {"F": "daughters", "M": "sons"}
_NONE = " that it carries none"


def next_step(case: Case, stable: Stable) -> str:
    """A few sentences."""
    says = {
        Suspect.LABEL: _for_label,
        Suspect.PARENTAGE: _for_parentage,
        Suspect.READING: _for_reading,
        Suspect.GENE_RECORD: for_gene,
    }
    return _of_several_males(case) + says[case.suspicion.kind](case, stable)


def _of_several_males(case: Case) -> str:
    """Of a pairing that names several males: the model takes each clutch as of one of them; '' where none does."""
    found = {str(c.key[0]): len(c.recorded) for _, c in told_by(case) if len(c.recorded) > 1}
    return "".join(
        f"{pairing} names {males} males, and is weighed as of one of them: if its young may be of several, have their "
        "parentage tested first. "
        for pairing, males in list(found.items())[:1]
    )


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
        if animal.label and any(s.gene == gene.name and s.copies == 2 for s in animal.label.shows):
            return _two_copies_test(animal, gene, case, stable)
        found = stable.plain_mate(animal, gene.name)
        mate = stable.worded(found, case) if found else f"an unrelated mate without {gene.name}"
        return f"Pair {animal.id} with {mate}: if none shows {gene.name}, {both_counts(1 / 2)}{_NONE}."
    visual = _visual_mate(animal, gene, stable)
    single = case.catalogue.sex_chromosomes.single_copy_sex
    if single and animal.sex and case.catalogue.single_copy(case.catalogue.locus_of[gene.name], single):
        return _sex_linked_test(animal, gene, visual, single, case, stable)
    if visual:
        return f"Pair {animal.id} with {stable.worded(visual, case)}: if none shows {gene.name}, {both_counts(1 / 2)}{_NONE}."
    hets = [
        a
        for a in stable.mates(animal.species, OTHER_SEX.get(animal.sex or ""), [], animal.id)
        if any(c.gene == gene.name and c.probability == 1 for c in a.known_label.carries)
    ]
    het = stable.mate_of(animal, hets)
    if het:
        return f"Pair {animal.id} with {stable.worded(het, case)}: if none shows {gene.name}, {both_counts(3 / 4)}{_NONE}."
    return (
        f"No unrelated mate for a test is in the book. With one that shows {gene.name}: if no young does, "
        f"{both_counts(1 / 2)}; with a het: {both_counts(3 / 4)}{_NONE}."
    )


def _visual_mate(animal: Animal, gene: Gene, stable: Stable) -> Animal | None:
    showing = stable.mates(animal.species, OTHER_SEX.get(animal.sex or ""), [gene.name], animal.id)
    return stable.mate_of(animal, showing)


def _sex_linked_test(
    animal: Animal, gene: Gene, visual: Animal | None, single: Sex, case: Case, stable: Stable
) -> str:
    """Of a recessive on the sex chromosome of which one sex (`single`) has one copy, which shows whatever the mate is."""
    if animal.sex == single:
        return f"Look at it again: a {SEX_WORDS[single]} has one copy of {gene.name} or none, and one shows."
    mate = visual or stable.mate_of(animal, stable.mates(animal.species, single, [], animal.id))
    who = stable.worded(mate, case) if mate else "any unrelated mate"
    young = "young" if visual else _CHILDREN[single]
    return f"Pair {animal.id} with {who}: if none of the {young} shows {gene.name}, {both_counts(1 / 2, young)}{_NONE}."


def _two_copies_test(animal: Animal, gene: Gene, case: Case, stable: Stable) -> str:
    """Whether it has two copies: all of its young by the mate then show the gene, else half of them at most."""
    recessive = gene.inheritance is Inheritance.RECESSIVE
    found = _visual_mate(animal, gene, stable) if recessive else stable.plain_mate(animal, gene.name)
    kind = f"an unrelated mate {'that shows' if recessive else 'without'} {gene.name}"
    return (
        f"Pair {animal.id} with {stable.worded(found, case) if found else kind}: a young without {gene.name} tells that it "
        f"has not two copies; if all show it, {both_counts(1 / 2)} that it has."
    )


def _for_parentage(case: Case, stable: Stable) -> str:
    own, clutch = case.suspicion, case.suspicion.known_clutch
    dam = clutch.dam
    say = "Don't sell these young with this sire's name. "
    if own.unsired:
        return (
            f"{_sexing(case)}{say}A parentage test of one young with {dam} settles it: without a sire it has nothing that is not "
            f"hers. Or keep {dam} from every male: if she has such young again, they have no sire either, or one of years ago."
        )
    shows = _shows_if_given(case)
    sire = clutch.recorded[0] if clutch.recorded else None
    gone = [name for name in (dam, sire) if name and case.collection.animals[name].status in GONE]
    if sire is None or shows is None or gone or stable.close(dam, sire):
        return f"{say}A parentage test of one young with {dam} and the males it may be of would settle it."
    return (
        f"{say}Pair {dam} with {sire} alone, after a season's rest from other males: a young that shows {shows.look} tells that "
        f"{sire} can give {shows.gene if shows.look != shows.gene else 'it'}; if none does, {both_counts(shows.miss)} that he "
        "can't. A parentage test settles it at once."
    )


@dataclass(frozen=True)
class _Telling:
    """What young look like only if their sire gives a gene; `miss`: the chance that one does not though he has one copy."""

    gene: str
    look: str
    miss: float


def _shows_if_given(case: Case) -> _Telling | None:
    """What tells whether the sire gives a gene that tells; None where the dam gives all that can be seen of it herself."""
    clutch, animals = case.suspicion.known_clutch, case.collection.animals
    young = {s.gene for label, _, _ in looks_of(case.family, clutch) for s in label.shows}
    dam, *sires = (animals[name].label or NOTHING for name in (clutch.dam, *clutch.recorded))
    his = {s.gene for label in sires for s in label.shows}
    genes = sorted(case.genes, key=lambda name: (name not in young, name not in his))
    told = (_telling(case.catalogue.locus_of[name], name, dam) for name in genes)
    return next((found for found in told if found), None)


def _telling(locus: Locus, gene: str, dam: Statement) -> _Telling | None:
    """Of a dam taken at her word; where the gene would not show then, of one that has a copy of it to go with his."""
    allele = locus.allele(gene)
    odds = genotypes_at(dam, locus)
    hers = max(odds, key=odds.__getitem__, default=(WILD, WILD))
    if locus.sex_linked:
        return None
    if locus.genes[allele - 1].inheritance is Inheritance.RECESSIVE and hers == (WILD, WILD):
        hers = (WILD, allele)
    plain = {locus.appearance((WILD, own)) for own in hers}
    given = [locus.appearance((min(own, allele), max(own, allele))) for own in hers]
    looks = [look for look in given if look not in plain]
    return _Telling(gene, " ".join(looks[0]), 1 - looks.count(looks[0]) / 4) if looks else None


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
    needed = [
        (findings_needed(dict(case.suspicion.rivals)[NOBODY], 2, sure / 100), sure) for sure in (95, 99)
    ]
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
        return f"Look at {own.animal} again in good light. {_test_of_look(animal, case, stable)}".strip()
    again = "Look at this young" if own.young is not None and own.young.count == 1 else "Look at these young"
    then = _pair_again(case, stable) or "doubt its parents next"
    return f"{again} again, or at a picture, and mend the row; if it is as written after all, {then}."


def _pair_again(case: Case, stable: Stable) -> str:
    """Whether the parents give the recessive that a young was read to show; '' where they can't be paired again for it."""
    own, clutch, animals = case.suspicion, case.suspicion.known_clutch, case.collection.animals
    label = own.young.known_label if own.young else NOTHING
    shown = [s.gene for s in label.shows if s.gene in case.genes]
    if not shown or len(clutch.recorded) != 1:
        return ""
    gene, dam, sire = case.catalogue.by_name[shown[0]], animals[clutch.dam], animals[clutch.recorded[0]]
    here = dam.status not in GONE and sire.status not in GONE and not stable.close(dam.id, sire.id)
    if (
        gene.inheritance is not Inheritance.RECESSIVE
        or case.catalogue.locus_of[gene.name].sex_linked
        or not here
    ):
        return ""
    visual = any(s.gene == gene.name for parent in (dam, sire) for s in (parent.label or NOTHING).shows)
    return (
        f"pair {dam.id} with {sire.id} again: a second that shows {gene.name} tells that they give it; if none does, "
        f"{both_counts(1 / 2 if visual else 3 / 4)} that they don't"
    )


def _test_of_look(animal: Animal, case: Case, stable: Stable) -> str:
    """Against what an animal was read to show: of the gene that the two looks differ in, the one written first. '' of a
    recessive that a single copy shows: what can be seen is all there is."""
    label = animal.label or case.family.looks[animal.id].known_label
    written = [look for locus in case.loci for look in shown_at(label, locus)]
    looks = [*written, *str(case.suspicion.rivals[0][0]).split(", ")]
    known = {name: g for locus in case.loci for g in locus.genes for name in (g.name, g.super_name)}
    gene = next((known[look] for look in looks if look in known), case.loci[0].genes[0])
    if gene.inheritance is Inheritance.RECESSIVE:
        single = case.catalogue.single_copy(case.catalogue.locus_of[gene.name], animal.sex)
        return "" if single else _two_copies_test(animal, gene, case, stable)
    test = _two_copies_test if gene.super_name in looks else test_cross
    return test(animal, gene, case, stable)
