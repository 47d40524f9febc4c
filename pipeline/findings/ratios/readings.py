"""What was seen on the young, ready to be counted: a look at every locus, or nothing where it could not be read."""

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import NamedTuple

import pandas as pd

from pipeline.genetics.collection import Collection
from pipeline.genetics.genes import Appearance, Catalogue, Sex
from pipeline.genetics.labels import find_gene, read_label
from pipeline.genetics.statements import Statement, shown_at

Looks = tuple[Appearance | None, ...]


class Reading(NamedTuple):
    """One young: its sex if known, and its look at each locus of the catalogue, None where it could not be read."""

    sex: Sex | None
    looks: Looks


Readings = Counter[Reading]


def readings(collection: Collection, counts: pd.DataFrame) -> Mapping[str, Mapping[int, Readings]]:
    """Young that were looked at, by pairing and clutch, in that order.

    `counts` are the rows of store/sql/young_counts.sql: pairing, clutch, sex, genes and unreadable as written, grown
    (the label of the young animal itself, since grown), young. A gene that shows later is unreadable but on the
    grown. Left out are rows of pairings that the collection lacks, and of species without genes, whose labels say nothing.
    """
    found: dict[str, dict[int, Readings]] = {}
    seen: dict[tuple[str, str, str, bool], Looks] = {}
    columns = ["pairing", "clutch", "sex", "genes", "unreadable", "grown", "young"]
    blank = counts[columns].astype(object).where(counts[columns].notna(), None)
    for pairing, clutch, sex, genes, unreadable, grown, young in blank.itertuples(index=False, name=None):
        if pairing not in collection.pairings or not genes or not young:
            continue
        species = collection.pairings[pairing].species
        if not collection.catalogues[species].genes:
            continue
        key = (species, genes, unreadable or "", bool(grown))
        if key not in seen:
            seen[key] = _looks(collection.catalogues[species], *key[1:])
        clutches = found.setdefault(pairing, {})
        clutches.setdefault(int(clutch), Counter())[Reading(sex, seen[key])] += int(young)
    return {pairing: dict(sorted(found[pairing].items())) for pairing in sorted(found)}


def _looks(catalogue: Catalogue, genes: str, unreadable: str, grown: bool) -> Looks:
    hidden = (find_gene(name, catalogue) for name in filter(None, map(str.strip, unreadable.split(";"))))
    names = frozenset(gene.name for gene in hidden if gene)
    return looks_of(read_label(genes, catalogue), catalogue, names, grown=grown)


def looks_of(label: Statement, catalogue: Catalogue, unreadable: frozenset[str], *, grown: bool) -> Looks:
    """The looks a label states, locus by locus; None at a locus with a gene named unreadable, or not to be seen yet."""
    return tuple(
        None
        if (locus.later and not grown) or any(gene.name in unreadable for gene in locus.genes)
        else shown_at(label, locus)
        for locus in catalogue.loci
    )


def pooled(clutches: Iterable[Readings]) -> Readings:
    """The young of several clutches put together."""
    total: Readings = Counter()
    for clutch in clutches:
        total.update(clutch)
    return total
