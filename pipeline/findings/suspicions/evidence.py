"""The evidence for a suspicion: one or two plain sentences with the counts."""

from pipeline.findings.suspicions.counts import counted_looks, looks_text, named, names_all, shown, times
from pipeline.findings.suspicions.explain import Case
from pipeline.genetics.carriers.families import Clutch, Family
from pipeline.genetics.suspicions.alternatives import Alternative, Fault
from pipeline.genetics.suspicions.answer import Suspect


def evidence(case: Case) -> str:
    """One or two plain sentences with the counts."""
    says = {
        Suspect.PARENTAGE: _of_parentage,
        Suspect.LABEL: _of_label,
        Suspect.READING: _of_reading,
        Suspect.GENE_RECORD: _of_gene,
    }
    return says[case.suspicion.kind](case)


def _of_parentage(case: Case) -> str:
    own, clutch = case.suspicion, case.suspicion.known_clutch
    genes = case.genes or tuple(case.catalogue.by_name)
    counts = counted_looks([(case.family, clutch)], genes, case.catalogue)
    animals = [case.family.animals[name] for name in (clutch.dam, *clutch.recorded[:1])]
    parents = " and ".join(named(a, case.catalogue, genes) for a in animals)
    sexes = ""
    if own.unsired:
        kept = [case.family.animals[child] for child in clutch.children]
        females = sum(one.count for one in clutch.tallies if one.sex == "F")
        females += sum(one.sex == "F" for one in kept)
        sexes = f", {females} sexed and all of them female" if females else ""
    return (
        f"{sum(counts.values())} young of {parents}: {looks_text(counts)}{sexes}. "
        f"All records together are {times(own.bayes_factor)} likelier if they were not sired as recorded."
    )


def _of_label(case: Case) -> str:
    own = case.suspicion
    animal = case.family.animals[own.known_animal]
    genes = case.genes
    crosses = told_by(case)
    counts = counted_looks(crosses, genes, case.catalogue)
    mates = sorted({m for _, c in crosses for m in (c.dam, *c.recorded) if m != own.animal})
    others = " and ".join(named(case.family.animals[m], case.catalogue, genes) for m in mates[:3])
    start = f"{named(animal, case.catalogue, genes)} has {sum(counts.values())} young by {others}: {looks_text(counts)}."
    if not counts:
        start = f"{named(animal, case.catalogue, genes)} does not fit its relatives."
    return f"{start} All records together are {times(own.bayes_factor)} likelier if the label is wrong."


def _of_reading(case: Case) -> str:
    own, family = case.suspicion, case.family
    clutch = next((clutch for _, clutch in told_by(case)), None)
    if clutch is None:
        return f"{own.animal} does not fit its relatives at {' and '.join(own.genes)}."
    counts = counted_looks([(family, clutch)], case.genes, case.catalogue)
    pair = (clutch.dam, clutch.recorded)
    others = [(family, c) for c in family.clutches if (c.dam, c.recorded) == pair and c is not clutch]
    before = counted_looks(others, case.genes, case.catalogue)
    more = f" The pair's other clutches: {looks_text(before)}." if before else ""
    young = own.young
    if young is None:
        young_told = (
            f"one of {counts.total()} young"
            if counts.total() > 1
            else "the only young of its litter on record"
        )
        return f"{own.animal} is {young_told}: {looks_text(counts)}.{more}"
    verb = "is" if young.count == 1 else "are"
    look = shown(young.known_label, case.genes, case.catalogue)
    return f"{young.count} of {sum(counts.values())} young {verb} written {look}: {looks_text(counts)}.{more}"


def _of_gene(case: Case) -> str:
    own = case.suspicion
    crosses = told_by(case)
    counts = counted_looks(crosses, own.genes, case.catalogue)
    pairings = sorted({str(c.key[0]) for _, c in crosses if c.key[0]})
    return (
        f"{sum(counts.values())} young of {len(pairings)} pairing{'s' * (len(pairings) != 1)} ({', '.join(pairings[:6])}{' …' if len(pairings) > 6 else ''}): "
        f"{looks_text(counts)}. All records together are {times(own.bayes_factor)} likelier if this record is wrong."
    )


def told_by(case: Case) -> list[tuple[Family, Clutch]]:
    """The clutches whose young the evidence counts."""
    own = case.suspicion
    if own.kind is Suspect.GENE_RECORD:
        return informative(case, own.alternatives[0][0])
    if own.clutch is not None:
        return [(case.family, own.clutch)]
    of_label = own.kind is Suspect.LABEL
    return [
        (case.family, clutch)
        for clutch in case.family.clutches
        if own.animal in ((clutch.dam, *clutch.recorded) if of_label else clutch.children)
    ]


def informative(case: Case, best: Alternative) -> list[tuple[Family, Clutch]]:
    """The clutches that speak of a gene fault: parents that name every gene of it, both of them where two copies matter."""
    both = best.fault in (Fault.LETHAL, Fault.VIABLE, Fault.SURVIVAL)
    found = []
    for family in case.structures.families:
        for clutch in family.clutches:
            parents = [family.animals[name] for name in (clutch.dam, *clutch.recorded[:1])]
            fits = names_all(parents, best.genes) and bool(clutch.tallies or clutch.children)
            if fits and (not both or all(names_all([p], best.genes) for p in parents)):
                found.append((family, clutch))
    return found
