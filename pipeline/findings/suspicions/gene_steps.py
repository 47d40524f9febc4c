"""What would settle that a row of the Genes sheet is wrong: a pair that would tell, and how many of its young."""

from collections.abc import Iterable, Sequence
from itertools import product

from pipeline.findings.suspicions.counts import counted_looks
from pipeline.findings.suspicions.evidence import informative
from pipeline.findings.suspicions.explain import Case, likelier
from pipeline.findings.suspicions.sizes import SURE, both_counts, findings_needed, telling_counts
from pipeline.findings.suspicions.stable import Stable
from pipeline.genetics.collection import GONE, Animal
from pipeline.genetics.genes import SEXES, Gene, Inheritance
from pipeline.genetics.statements import Carried
from pipeline.genetics.suspicions.alternatives import Alternative, Fault

OPEN = 0.05
"""From this probability on an explanation is still to be tested."""
MISREAD = 0.99
"""Where all young should look alike, as many do at the usual rate of misreading."""


def for_gene(case: Case, stable: Stable) -> str:
    """One to five sentences on a gene record in doubt."""
    best, chance = case.suspicion.alternatives[0]
    says = _says(case, stable, best)
    if chance < SURE:
        return says
    return f"Mend the sheet Genes: {likelier(case)}. To see for yourself: {says[0].lower()}{says[1:]}"


def _says(case: Case, stable: Stable, best: Alternative) -> str:
    one = best.genes[0]
    if best.fault is Fault.LETHAL or _looks_alike(case, best):
        return _for_two_copies(case, stable, one)
    if best.fault in (Fault.SURVIVAL, Fault.PENETRANCE):
        return _for_few(case, stable, best)
    if best.fault is Fault.VIABLE:
        return (
            f"Look at the young of {_pair(case, stable, best)} again: one with two copies of {one} proves it."
        )
    if best.fault is Fault.LINKED:
        genes = [case.catalogue.by_name[name] for name in best.genes]
        pair = _test_of_two(case, stable, genes, _parting(case, stable, best)) or _test_in_words(genes)
        return f"Pair {pair}: {telling_counts(case.suspicion.value or 0.0, 1 / 2)}."
    if best.fault is Fault.INHERITANCE:
        return f"Pair {_pair(case, stable, best)}: {both_counts(1 / 2)} whether one copy of {one} shows."
    return _for_alleles(case, stable, best)


def _for_alleles(case: Case, stable: Stable, best: Alternative) -> str:
    """What tells two alleles from two loci: two visuals of recessives; of others an animal with one copy of each."""
    sides = [[case.catalogue.by_name[name] for name in side] for side in _sides(case, best)]
    pairs = list(product(*sides))
    recessive = [pair for pair in pairs if all(gene.inheritance is Inheritance.RECESSIVE for gene in pair)]
    if recessive:
        found = next(filter(None, (_visuals(case, stable, pair) for pair in recessive)), None)
        words = found or " with ".join(f"a {gene.name}" for gene in recessive[0])
        return (
            f"Pair {words}: alleles give young that all show a gene, two loci give young that show neither. Each young tells; "
            "two alike leave 1 in 10,000 for a misreading of both at the usual 1 %."
        )
    found, pair = next(
        ((found, pair) for pair in pairs if (found := _test_of_two(case, stable, pair))), (None, pairs[0])
    )
    hidden = any(gene.inheritance is Inheritance.RECESSIVE for gene in pair)  # then alleles may show together
    one, other = (gene.name for gene in pair)
    odd, miss = ("neither", 3 / 4) if hidden else ("both or neither", 1 / 2)
    return (
        f"Pair {found or _test_in_words(pair)}: a young with {odd} of {one} and {other} tells that they are two loci; if there "
        f"is none, {both_counts(miss)} that they are alleles."
    )


def _sides(case: Case, best: Alternative) -> tuple[Sequence[str], Sequence[str]]:
    """The genes of which one is an allele of none of the others, or of all."""
    first = case.catalogue.locus_of[best.genes[0]]
    names = [gene.name for gene in first.genes]
    if best.fault is Fault.ALLELES:
        return names, [name for name in best.genes if name not in names]
    return best.genes[:1], [name for name in names if name != best.genes[0]]


def _visuals(case: Case, stable: Stable, pair: Sequence[Gene]) -> str | None:
    """A female and a male that show one gene each."""
    one, other = (gene.name for gene in pair)
    species = case.suspicion.species
    choices = [
        (stable.mates(species, "F", [a]), stable.mates(species, "M", [b]))
        for a, b in ((one, other), (other, one))
    ]
    found = stable.pairs(choices)
    return " with ".join(stable.worded(animal, case) for animal in found[0]) if found else None


def _parting(case: Case, stable: Stable, best: Alternative) -> list[tuple[Animal, Animal]]:
    """Pairs that told already and had young of several looks, which one parent by itself gives but one of."""
    animals, genes = case.collection.animals, [case.catalogue.by_name[name] for name in best.genes]
    looks: dict[tuple[str, str], set[str]] = {}
    for own in informative(case, best):
        for sire in own[1].recorded[:1]:
            looks.setdefault((own[1].dam, sire), set()).update(
                counted_looks([own], best.genes, case.catalogue)
            )
    pairs = [
        (animals[dam], animals[sire]) for dam, sire in _told(case, stable, best) if len(looks[dam, sire]) > 1
    ]
    return [pair for pair in pairs if any(_hides_nothing(animal, genes) for animal in pair)]


def _hides_nothing(animal: Animal, genes: Sequence[Gene]) -> bool:
    """Whether its young look at each gene as the other parent's gamete says: it shows the recessives and lacks the others."""
    said = animal.label.genes() - set(animal.label.lacks) if animal.label else set()
    return all(
        _copies(animal, gene) == 2 if gene.inheritance is Inheritance.RECESSIVE else gene.name not in said
        for gene in genes
    )


def _test_of_two(
    case: Case, stable: Stable, genes: Sequence[Gene], told: Iterable[tuple[Animal, Animal]] = ()
) -> str | None:
    """One with one copy of each gene, and one that hides nothing of it; among them pairs that `told` already."""
    species = case.suspicion.species
    both = {
        s: [a for a in stable.mates(species, s, []) if all(_copies(a, g) == 1 for g in genes)] for s in SEXES
    }
    mates = {s: [a for a in stable.mates(species, s, []) if _hides_nothing(a, genes)] for s in SEXES}
    found = [*told, *stable.pairs([(both["F"], mates["M"]), (mates["F"], both["M"])])]
    if not found:
        return None
    dam, sire = min(found, key=lambda pair: sum(animal.id not in stable.ready for animal in pair))
    again = " again" if (dam.id, sire.id) in _tried(case) else ""
    return f"{stable.worded(dam, case)} with {stable.worded(sire, case)}{again}"


def _test_in_words(genes: Sequence[Gene]) -> str:
    shown = [gene.name for gene in genes if gene.inheritance is Inheritance.RECESSIVE]
    lacked = [gene.name for gene in genes if gene.inheritance is not Inheritance.RECESSIVE]
    says = [f"shows {' and '.join(shown)}"] if shown else []
    says += [f"shows no {' and no '.join(lacked)}"] if lacked else []
    return f"an animal with one copy each of {genes[0].name} and {genes[1].name} with one that {' and '.join(says)}"


def _tried(case: Case) -> set[tuple[str, str]]:
    return {(c.dam, male) for own in case.structures.families for c in own.clutches for male in c.recorded}


def _for_few(case: Case, stable: Stable, best: Alternative) -> str:
    """What tells that few with two copies live, or that the gene does not always show: a pair that has told already."""
    (name,), value = best.genes, case.suspicion.value or 0.0
    gene = case.catalogue.by_name[name]
    of_all = best.fault is Fault.PENETRANCE
    shares = {
        pair: share
        for pair in _told(case, stable, best)
        if (share := _share(gene, [case.collection.animals[i] for i in pair], showing=of_all))
    }
    pair = next(iter(shares), None)
    recorded = min(shares[pair], MISREAD) if pair else 1 / 2
    share = value * recorded / (1 if of_all else value * recorded + 1 - recorded)
    words = _again(case, stable, pair) if pair else f"a {name} with one that carries one copy of it"
    return f"Count every egg of {words}, and look at the dead ones: {telling_counts(share, recorded)}."


def _share(gene: Gene, pair: Sequence[Animal], *, showing: bool) -> float:
    """Of the young of a pair, by its labels, the share with two copies; of all that should show the gene with `showing`."""
    dam, sire = (_copies(animal, gene) / 2 for animal in pair)
    if showing and gene.inheritance is not Inheritance.RECESSIVE:
        return 1 - (1 - dam) * (1 - sire)
    return dam * sire


def _copies(animal: Animal, gene: Gene) -> int:
    """How many copies a label claims for certain; one of what shows in one copy, unless it says two."""
    for shown in animal.label.shows if animal.label else ():
        if shown.gene == gene.name:
            return 2 if gene.inheritance is Inheritance.RECESSIVE or shown.copies == 2 else 1
    return int(any(c == Carried(gene.name) for c in animal.label.carries)) if animal.label else 0


def _looks_alike(case: Case, best: Alternative) -> bool:
    """Whether it is that two copies look like one, where they were recorded to look otherwise."""
    if best.fault is not Fault.INHERITANCE:
        return False
    (gene,) = best.genes
    after = best.variants[0].changes[gene]["inheritance"]
    return (case.catalogue.by_name[gene].inheritance, after) == (Inheritance.INCOMPLETE, Inheritance.DOMINANT)


def _for_two_copies(case: Case, stable: Stable, gene: str) -> str:
    """Whether they look as recorded, look like one copy, or die: a third of the living show that look with two copies,
    unless they die."""
    rivals = case.suspicion.alternatives
    dead = sum(chance for rival, chance in rivals if rival.fault is Fault.LETHAL)
    alike = sum(chance for rival, chance in rivals if _looks_alike(case, rival))
    lethal = dead >= OPEN
    kills = (
        " Make no new pair of two meanwhile: if two copies kill, it costs a quarter of the young."
        if lethal
        else ""
    )
    if 1 - sum(chance for _, chance in rivals) >= OPEN:
        wanted = case.catalogue.by_name[gene].super_name
        return f"Look at all young of two {gene} again, the dead too: if none is {wanted}, {both_counts(3 / 4)}.{kills}"
    needed = [
        (findings_needed(dead / (dead + alike), 3 / 2, sure / 100), sure) for sure in (95, 99) if lethal
    ]
    counts = ", ".join(f"{n} make it {sure} % sure" for n, sure in needed if n)
    none = f" Where each gives young without it, two copies die: of such animals {counts}." if counts else ""
    return (
        f"Pair young of two {gene} that show it with mates without it{_begin(case, stable, gene)}: one whose young all show "
        f"{gene} lives with two copies, {both_counts(1 / 2)}.{none}{kills}"
    )


def _begin(case: Case, stable: Stable, gene: str) -> str:
    """The first young of two that show a gene that is here and has a mate without it."""
    species = case.suspicion.species
    showing = {
        a.id for a in case.collection.animals.values() if a.label and gene in {s.gene for s in a.label.shows}
    }
    for animal in stable.mates(species, None, [gene]):
        if {animal.sire, animal.dam} <= showing and (mate := stable.plain_mate(animal, gene)):
            return f" (begin with {stable.worded(animal, case)} and {stable.worded(mate, case)})"
    return ""


def _pair(case: Case, stable: Stable, best: Alternative) -> str:
    """A female and a male of the book that would tell how one gene is inherited, or two copies; in words of their kind where
    there are none."""
    species, genes = case.suspicion.species, best.genes
    if best.fault is Fault.INHERITANCE:
        choices = [
            (stable.mates(species, "F", genes), stable.plain(species, "M", genes[0])),
            (stable.plain(species, "F", genes[0]), stable.mates(species, "M", genes)),
        ]
        kind = f"a {genes[0]} with an unrelated animal without it"
    else:
        choices = [(stable.mates(species, "F", genes), stable.mates(species, "M", genes))]
        kind = f"two {genes[0]}"
    found = stable.pairs(choices)
    if best.fault is Fault.INHERITANCE:
        tried = _tried(case)
        found.sort(
            key=lambda pair: (pair[0].id, pair[1].id) in tried
        )  # what has told once tells no more of its mate
    return " with ".join(stable.worded(animal, case) for animal in found[0]) if found else kind


def _told(case: Case, stable: Stable, best: Alternative) -> list[tuple[str, str]]:
    """Pairs that told already and are still here, ready ones first."""
    pairs = [(c.dam, c.recorded[0]) for _, c in informative(case, best) if c.recorded]
    here = [
        pair
        for pair in dict.fromkeys(pairs)
        if all(case.collection.animals[i].status not in GONE for i in pair) and not stable.close(*pair)
    ]
    return sorted(here, key=lambda pair: (sum(i not in stable.ready for i in pair), pair))


def _again(case: Case, stable: Stable, pair: tuple[str, str]) -> str:
    return " with ".join(stable.worded(case.collection.animals[i], case) for i in pair) + " again"
