"""What would settle that a row of the Genes sheet is wrong: a pair that would tell, and how many of its young."""

from pipeline.findings.suspicions.evidence import informative
from pipeline.findings.suspicions.explain import Case
from pipeline.findings.suspicions.sizes import both_counts, findings_needed, telling_counts
from pipeline.findings.suspicions.stable import GONE, Stable
from pipeline.genetics.genes import Inheritance
from pipeline.genetics.suspicions.alternatives import Alternative, Fault

OPEN = 0.05
"""From this probability on an explanation is still to be tested."""


def for_gene(case: Case, stable: Stable) -> str:
    """One to four sentences on a gene record in doubt."""
    own = case.suspicion
    best = next(key for key, _ in own.rivals if isinstance(key, Alternative))
    one, *more = own.genes
    if best.fault is Fault.LETHAL or _looks_alike(case, best):
        return _for_two_copies(case, stable, one)
    pair, value = _pair(case, stable, best), own.value or 0.0
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
    kills = (
        " Make no new pair of two meanwhile: if two copies kill, it costs a quarter of the young."
        if dead >= OPEN
        else ""
    )
    if 1 - sum(chance for _, chance in rivals) >= OPEN:
        wanted = case.catalogue.by_name[gene].super_name
        return f"Look at all young of two {gene} again, the dead too: if none is {wanted}, {both_counts(3 / 4)}.{kills}"
    needed = [(findings_needed(dead / (dead + alike), 3 / 2, sure / 100), sure) for sure in (95, 99)]
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
        sex = {"F": "M", "M": "F"}.get(animal.sex or "")
        if sex and {animal.sire, animal.dam} <= showing:
            mate = stable.mate_of(animal, stable.plain(species, sex, gene))
            if mate:
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
