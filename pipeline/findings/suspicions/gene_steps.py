"""What would settle that a row of the Genes sheet is wrong: a pair that would tell, and how many of its young."""

from collections.abc import Sequence

from pipeline.findings.suspicions.evidence import informative
from pipeline.findings.suspicions.explain import Case
from pipeline.findings.suspicions.sizes import both_counts, findings_needed, telling_counts
from pipeline.findings.suspicions.stable import Stable
from pipeline.genetics.collection import GONE, Animal
from pipeline.genetics.genes import Gene, Inheritance
from pipeline.genetics.statements import Carried
from pipeline.genetics.suspicions.alternatives import Alternative, Fault

OPEN = 0.05
"""From this probability on an explanation is still to be tested."""
MISREAD = 0.99
"""Where all young should look alike, as many do at the usual rate of misreading."""


def for_gene(case: Case, stable: Stable) -> str:
    """One to four sentences on a gene record in doubt."""
    own = case.suspicion
    best = next(key for key, _ in own.rivals if isinstance(key, Alternative))
    one = own.genes[0]
    if best.fault is Fault.LETHAL or _looks_alike(case, best):
        return _for_two_copies(case, stable, one)
    if best.fault in (Fault.SURVIVAL, Fault.PENETRANCE):
        return _for_few(case, stable, best)
    pair, value = _pair(case, stable, best), own.value or 0.0
    if best.fault is Fault.VIABLE:
        return f"Look at the young of {pair} again: one with two copies of {one} proves it."
    if best.fault is Fault.LINKED:
        return f"Pair {pair}: {telling_counts(value, 1 / 2)}."
    if best.fault is Fault.INHERITANCE:
        return f"Pair {pair}: {both_counts(1 / 2)} whether one copy of {one} shows."
    return (
        f"Pair {pair}: alleles give young that all show a gene, two loci give young that show neither. Each young tells; "
        "two alike leave 1 in 10,000 for a misreading of both at the usual 1 %."
    )


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
    rivals = [(rival, chance) for rival, chance in case.suspicion.rivals if isinstance(rival, Alternative)]
    dead = sum(chance for rival, chance in rivals if rival.fault is Fault.LETHAL)
    alike = sum(chance for rival, chance in rivals if _looks_alike(case, rival))
    lethal = dead >= OPEN
    kills = " Make no new pair of two meanwhile: if two copies kill, it costs a quarter of the young." if lethal else ""
    if 1 - sum(chance for _, chance in rivals) >= OPEN:
        wanted = case.catalogue.by_name[gene].super_name
        return f"Look at all young of two {gene} again, the dead too: if none is {wanted}, {both_counts(3 / 4)}.{kills}"
    needed = [(findings_needed(dead / (dead + alike), 3 / 2, sure / 100), sure) for sure in (95, 99) if lethal]
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
    elif best.fault is Fault.VIABLE:
        choices = [(stable.mates(species, "F", genes), stable.mates(species, "M", genes))]
        kind = f"two {genes[0]}"
    else:
        told = _told(case, stable, best)
        kind = f"an animal that shows {' and '.join(genes)} with one het for both"
        return _again(case, stable, told[0]) if told else kind
    found = stable.pairs(choices)
    if best.fault is Fault.INHERITANCE:
        tried = {(c.dam, male) for own in case.structures.families for c in own.clutches for male in c.recorded}
        found.sort(key=lambda pair: (pair[0].id, pair[1].id) in tried)  # what has told once tells no more of its mate
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
