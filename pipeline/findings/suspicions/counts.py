"""What the young of a clutch look like at some genes, in numbers and words."""

from collections import Counter
from collections.abc import Collection as AnyOf
from collections.abc import Iterable, Iterator

from pipeline.genetics.carriers.families import Clutch, Family
from pipeline.genetics.collection import Animal, Outcome
from pipeline.genetics.genes import Catalogue
from pipeline.genetics.labels import write_label
from pipeline.genetics.statements import Statement


def looks_of(family: Family, clutch: Clutch) -> Iterator[tuple[Statement, frozenset[str], int]]:
    """Every young of a clutch that was looked at: the label, genes that could not be told, how many alike."""
    for young in clutch.tallies:
        if young.label is not None and young.outcome is not Outcome.SLUG:
            yield young.label, young.unreadable, young.count
    for child in clutch.children:
        label, look = family.animals[child].label, family.looks.get(child)
        if label is not None:
            yield label, frozenset(), 1
        elif look is not None and look.label is not None:
            yield look.label, look.unreadable, 1


def counted_looks(
    clutches: Iterable[tuple[Family, Clutch]], genes: AnyOf[str], catalogue: Catalogue
) -> Counter[str]:
    """Young by what they show of some genes; those that could not be read at one of them are left out."""
    counts: Counter[str] = Counter()
    for family, clutch in clutches:
        for label, unreadable, count in looks_of(family, clutch):
            if unreadable.isdisjoint(genes) and not any(catalogue.locus_of[g].later for g in genes):
                counts[shown(label, genes, catalogue)] += count
    return counts


def shown(label: Statement, genes: AnyOf[str], catalogue: Catalogue) -> str:
    """What a label shows of some genes."""
    part = Statement(tuple(s for s in label.shows if s.gene in genes))
    return write_label(part, catalogue)


def looks_text(counts: Counter[str]) -> str:
    """'7 Hypo, 7 Normal', the commonest first."""
    return (
        ", ".join(f"{n} {look}" for look, n in sorted(counts.items(), key=lambda p: (-p[1], p[0]))) or "none"
    )


def named(animal: Animal, catalogue: Catalogue, genes: AnyOf[str] | None = None) -> str:
    """'B15 (Normal)'; of some genes alone where they are given."""
    if animal.label is None:
        return f"{animal.id} (no label)"
    label = animal.label
    if genes is not None:
        label = Statement(
            tuple(s for s in label.shows if s.gene in genes),
            tuple(c for c in label.carries if c.gene in genes),
            tuple(g for g in label.lacks if g in genes),
        )
    return f"{animal.id} ({write_label(label, catalogue)})"


def names_all(animals: Iterable[Animal], genes: Iterable[str]) -> bool:
    """Whether the labels of some animals together name every gene."""
    said = {gene for animal in animals if animal.label for gene in animal.label.genes()}
    return said.issuperset(genes)


def times(factor: float) -> str:
    """How many times likelier, in round words."""
    if factor >= 1e6:
        return "more than a million times"
    if factor >= 100:
        return f"some {float(f'{factor:.1e}'):,.0f} times"
    return f"{factor:.0f} times" if factor >= 2 else f"{factor:.1f} times"
