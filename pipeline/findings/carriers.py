"""Who carries what: the carrier odds as a table, and what they say of the book's own labels and records."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import pandas as pd

from pipeline.findings.carrier_claims import further_young, says
from pipeline.findings.frames import findings_frame
from pipeline.findings.shares import in_percent
from pipeline.genetics.carriers.clashes import Clash
from pipeline.genetics.carriers.families import Family
from pipeline.genetics.carriers.network import TABLE_LIMIT
from pipeline.genetics.carriers.odds import (
    CarrierOdds,
    Carriers,
    carriers,
    claimed_chance,
    least_for,
    trade_label,
)
from pipeline.genetics.carriers.posterior import CLUTCH_BY_CLUTCH, ERROR_LIMIT
from pipeline.genetics.carriers.sampling import CHAINS
from pipeline.genetics.carriers.scores import Record
from pipeline.genetics.carriers.solving import Solved
from pipeline.genetics.collection import Animal, Basis, Collection
from pipeline.genetics.genes import Gene
from pipeline.genetics.label_claims import percentage
from pipeline.genetics.suspicions.carrying import averaged_carriers
from pipeline.genetics.suspicions.faults import Structures
from pipeline.problems import Place, Problem, Severity
from pipeline.store.tables import CARRIER_ODDS


@dataclass(frozen=True)
class CarrierFindings:
    """The table carrier_odds (without `book`), the warnings and notes that go with it, and the odds behind both."""

    odds: pd.DataFrame
    problems: tuple[Problem, ...]
    carriers: Carriers


def carrier_findings(
    collection: Collection,
    genes_column: str | None = None,
    structures: Sequence[Structures] = (),
    solved: tuple[Solved, ...] | None = None,
) -> CarrierFindings:
    """Carrier odds of a collection, averaged over the structures of its species where those are given.

    `genes_column` are the letters of the Genes column on the sheet Animals; `solved` is what `solve` gave, where it is
    known already.
    """
    averaged = averaged_carriers(collection, structures, solved) if structures else None
    found = averaged or carriers(collection, solved=solved)
    problems = [
        *_overclaims(collection, found, genes_column),
        *_clashes(collection, found),
        *_limits(collection, found),
    ]
    genes = {species: catalogue.by_name for species, catalogue in collection.catalogues.items()}
    aside = _set_aside(found)
    rows = [
        _row(e, collection.animals[e.animal], genes[e.species][e.gene]) | aside.get((e.animal, e.gene), {})
        for e in found.odds
    ]
    return CarrierFindings(findings_frame(CARRIER_ODDS, rows), tuple(problems), found)


def _row(entry: CarrierOdds, animal: Animal, gene: Gene) -> dict[str, object]:
    return {
        "species": entry.species,
        "animal": entry.animal,
        "status": animal.status,
        "gene": entry.gene,
        "from_ancestors": entry.from_ancestors,
        "p_none": entry.p_none,
        "p_one": entry.p_one,
        "p_two": entry.p_two,
        "label": entry.label,
        "book_label": book_label(animal, entry.gene),
        "says": says(entry, animal.label),
        "young_scored": entry.young_scored,
        "settled": entry.settled,
        **further_young(entry, gene),
        "method": entry.method,
        "doubt": entry.doubt,
    }


def _set_aside(found: Carriers) -> dict[tuple[str, str], dict[str, object]]:
    """By animal and gene, what its row says instead where its own label clashes with other records: nothing is settled."""
    unweighed: dict[str, object] = {"says": "", "settled": "open", "doubt": "its label clashes with other records"}
    clashes = [clash for solved in found.solved for clash in solved.clashes]
    animals = [(clash, subject) for clash in clashes for kind, subject, _ in clash.records if kind == "animal"]
    return {(subject, gene): unweighed for clash, subject in animals for gene in clash.genes}


def book_label(animal: Animal, gene: str) -> str:
    """What the book's label says of one gene, in the words of the column `label`; empty where it says nothing."""
    label = animal.label
    if label is None:
        return ""
    for shown in label.shows:
        if shown.gene == gene:
            return f"Super {gene}" if shown.copies == 2 else gene
    if gene in label.lacks:
        return f"not {gene}"
    chance = claimed_chance(label, gene)
    return "" if chance is False else "100% het" if chance == 1 else f"{percentage(chance)} het"


def _overclaims(collection: Collection, found: Carriers, column: str | None) -> Iterator[Problem]:
    """Labels of animals with both parents recorded that claim more than their ancestors give."""
    bred = {animal for solved in found.solved for animal in solved.family.clutch_of}
    for entry in found.odds:
        animal = collection.animals[entry.animal]
        claim = claimed_chance(animal.label, entry.gene)
        if claim is False or animal.id not in bred or animal.basis is Basis.PROVED:
            continue
        if entry.from_ancestors < least_for(claim):
            written, honest = book_label(animal, entry.gene), trade_label(entry.from_ancestors)
            yield Problem(
                Severity.WARNING,
                Place(collection.book, "Animals", animal.row or None, column),
                f"{animal.id} is written as {written} {entry.gene}; its ancestors give {in_percent(entry.from_ancestors)}.",
                f"Write {f'{honest} {entry.gene}' if honest else f'nothing of {entry.gene}'}, "
                "or set Label basis to proved where its young have shown it, or write on the parent that it is het.",
                written,
            )


def _clashes(collection: Collection, found: Carriers) -> Iterator[Problem]:
    """Records that can't all be right with every error rate at 0."""
    for solved in found.solved:
        for clash in solved.clashes:
            yield _clash(collection, solved.family, clash)


def _clash(collection: Collection, family: Family, clash: Clash) -> Problem:
    named = [_named(collection, family, record) for record in clash.records]
    names = ", ".join(name for name, _ in named[:-1]) + (" and " if len(named) > 1 else "") + named[-1][0]
    return Problem(
        Severity.WARNING,
        named[-1][1],
        f"{' and '.join(clash.genes)}: {names} can't all be right when no record is ever wrong.",
        "Correct one of them, or allow for errors on the Settings sheet. They were set aside for the odds of this gene.",
    )


def _named(collection: Collection, family: Family, record: Record) -> tuple[str, Place]:
    kind, subject, position = record
    if kind == "animal":
        row = collection.animals[subject].row or None
        return f"the label of {subject}", Place(collection.book, "Animals", row)
    clutch = next(c for c in family.clutches if f"{c.key[0]} / {c.key[1]}" == subject)
    row = clutch.tallies[position].row or None
    where = f" in row {row}" if row else ""
    return (
        f"the young of pairing {clutch.key[0]}, clutch {clutch.key[1]}{where}",
        Place(collection.book, "Hatch results", row),
    )


def _limits(collection: Collection, found: Carriers) -> Iterator[Problem]:
    """Where the odds are not exact, or not there: a note a tangled family, one for all weighed clutch by clutch."""
    place = Place(collection.book, "Animals")
    for solved in found.solved:
        if solved.entries:
            yield Problem(Severity.NOTE, place, _tangled(solved))
    apart = [s.family for s in found.solved if s.posterior and s.posterior.method == CLUTCH_BY_CLUTCH]
    if apart:
        largest = max(apart, key=lambda family: len(family.animals))
        who = f"{len(largest.animals)} animals related to {next(iter(largest.animals))}"
        yield Problem(
            Severity.NOTE,
            place,
            f"{len(apart)} of the book's families, the largest {who}, could be sired in too many ways to sum them all: "
            "for their carrier odds each clutch's sire was weighed by itself. Where both can be done, the odds differ by "
            "less than half a point in nineteen families of twenty.",
        )


def _tangled(solved: Solved) -> str:
    who = f"The {len(solved.family.animals)} animals related to {next(iter(solved.family.animals))}"
    said = f"{who} are too tangled to weigh exactly ({solved.entries:,} table entries at least, more than {TABLE_LIMIT:,})"
    if solved.posterior is None:
        return f"{said} and could not be sampled either: their carrier odds are left out."
    error, withheld = solved.posterior.error, solved.posterior.withheld
    known = (
        f"{said}: their carrier odds are sampled, with a standard error of {error:.3f} at most "
        f"and possibilities rarer than 1 in {CHAINS} perhaps missed"
    )
    return f"{known}; {withheld:,} with one above {ERROR_LIMIT} are left out." if withheld else f"{known}."
