"""Tables and problems of the whole (see genetics/joined) as one of its books is told them.

An animal of another book keeps that book's name in brackets, 'B7 (south.xlsx)'. A record's finding is told in the book
that the record stands in; what is known of a shared animal, in every book that has it.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

import pandas as pd

from pipeline.findings.carrier_claims import says
from pipeline.findings.carriers import CarrierFindings, book_label
from pipeline.findings.kin import KEPT, KinFindings
from pipeline.findings.suspicions import SuspicionFindings
from pipeline.genetics.joined import Joined, book_of
from pipeline.genetics.joined.view import View
from pipeline.problems import Place, Problem, Severity

Letters = Mapping[str, str]
"""Spreadsheet letters of the columns of the sheet Animals, by field."""


def own_words(frame: pd.DataFrame, view: View) -> pd.DataFrame:
    """A table with every text in the words of the book; its species and genes are those of the columns so called."""
    frame = frame.copy()
    species = frame.get("species")
    if species is not None and "gene" in frame:
        genes = zip(species, frame["gene"], strict=True)
        frame["gene"] = pd.Series(
            [view.gene(s, g) for s, g in genes], index=frame.index, dtype=frame["gene"].dtype
        )
    if species is not None:
        frame["species"] = species.map(lambda name: view.species_of.get(name, name)).astype(species.dtype)
    for name in frame.columns:
        if pd.api.types.is_string_dtype(frame[name]) and len(frame):
            told = frame[name].map(lambda said: view.text(said) if isinstance(said, str) else said)
            frame[name] = told.astype(frame[name].dtype)
    return frame


def named(frame: pd.DataFrame, view: View) -> pd.DataFrame:
    """A table of the book with its animals and species named as the whole names them."""
    ways = {"animal": view.name, "species": view.species}
    known = {
        name: frame[name].map(way).astype(frame[name].dtype) for name, way in ways.items() if name in frame
    }
    return frame.assign(**known)


def own_odds(found: CarrierFindings, view: View) -> pd.DataFrame:
    """The odds of the animals that the book has; of a gene it does not list only where an animal may carry it."""
    told = [
        odds.animal in view.animal_of
        and (view.has_gene(odds.species, odds.gene) or odds.settled != "ruled out")
        for odds in found.carriers.odds
    ]
    frame = found.odds[pd.Series(told, index=found.odds.index, dtype=bool)].reset_index(drop=True)
    for at, odds in enumerate(odds for odds, here in zip(found.carriers.odds, told, strict=True) if here):
        own, gene = view.animal(odds.animal), view.gene(odds.species, odds.gene)
        frame.loc[at, "status"] = own.status
        whole = view.joined.collection.animals[odds.animal]
        if book_of(whole.row) != view.book:
            frame.loc[at, "book_label"] = book_label(own, gene)
            frame.loc[at, "says"] = says(replace(odds, gene=gene), own.label)
    return own_words(frame, view)


def own_kin(found: KinFindings, view: View) -> KinFindings:
    """Inbreeding of the book's animals, and every pair of which it keeps one, whatever book has the other."""
    inbreeding = found.inbreeding[found.inbreeding["animal"].isin(view.animal_of)]
    statuses = inbreeding["animal"].map(lambda name: view.animal(name).status)
    inbreeding = inbreeding.assign(status=statuses.astype(inbreeding["status"].dtype))
    here = [name for name in view.animal_of if view.animal(name).status in KEPT]
    kinship = found.kinship[found.kinship["dam"].isin(here) | found.kinship["sire"].isin(here)]
    limit = view.own.settings.inbreeding_at_most
    return KinFindings(
        own_words(inbreeding.assign(over_limit=inbreeding["f"] > limit).reset_index(drop=True), view),
        own_words(kinship.assign(over_limit=kinship["f_young"] > limit).reset_index(drop=True), view),
        tuple(own_problems(found.problems, view, {})),
    )


def own_suspicions(found: SuspicionFindings, view: View) -> SuspicionFindings:
    """Suspicions of the records that stand in the book, at least as likely as its own setting asks, ranked anew."""
    places = _Places(view.joined)
    rows = found.suspicions
    likely = rows["probability"] >= view.own.settings.report_suspicion_from
    here = [view.book in places.books(row, view) for row in rows.to_dict("records")]
    own = rows[likely & pd.Series(here, index=rows.index, dtype=bool)]
    ranks = {old: new for new, old in enumerate(own["rank"].tolist(), start=1)}
    rivals = found.rivals[found.rivals["rank"].isin(ranks)]
    return SuspicionFindings(own_words(_ranked(own, ranks), view), own_words(_ranked(rivals, ranks), view))


def _ranked(frame: pd.DataFrame, ranks: Mapping[int, int]) -> pd.DataFrame:
    return frame.assign(rank=frame["rank"].map(ranks).astype(frame["rank"].dtype)).reset_index(drop=True)


class _Places:
    """Which book each record of the whole stands in."""

    def __init__(self, joined: Joined) -> None:
        whole = joined.collection
        self._animals = {name: book_of(animal.row) for name, animal in whole.animals.items()}
        self._pairings = {name: book_of(pairing.row) for name, pairing in whole.pairings.items()}

    def books(self, suspicion: Mapping[str, object], view: View) -> set[str]:
        """The book of a label, a parentage or a reading; of a gene's record every book that lists the gene."""
        subject, pairing = str(suspicion["subject"]), suspicion["pairing"]
        if suspicion["kind"] == "gene record":
            species, genes = str(suspicion["species"]), subject.split(", ")
            return {view.book} if all(view.has_gene(species, gene) for gene in genes) else set()
        if suspicion["kind"] != "label" and isinstance(pairing, str) and pairing in self._pairings:
            return {self._pairings[pairing]}
        first = subject if subject in self._animals else subject.split(", ")[0]
        return {self._animals[first]} if first in self._animals else {self._pairings.get(subject, view.book)}


def own_problems(problems: Iterable[Problem], view: View, letters: Letters) -> Iterator[Problem]:
    """Problems of records in the book, and of none in particular, in its words.

    Their columns are fields of the sheet Animals, whose `letters` differ from book to book.
    """
    for problem in problems:
        row = problem.place.row
        if row is not None and book_of(row) not in ("", view.book):
            continue
        column = problem.place.column
        place = Place(
            view.book, problem.place.sheet, row and int(row), letters.get(column) if column else None
        )
        yield replace(
            problem,
            place=place,
            message=view.text(problem.message),
            hint=view.text(problem.hint),
            value=view.text(problem.value),
        )


def counted_once(view: View) -> Iterator[Problem]:
    """A warning for each pairing of the book that another book records too and that counts there."""
    for counts, left in view.joined.twice:
        if book_of(left.row) == view.book:
            yield Problem(
                Severity.WARNING,
                Place(view.book, "Pairings", int(left.row)),
                f"Pairing {view.text(left.id)} is {view.text(counts.id)} too: the same animals in the same season. Where both "
                "books are weighed together, only the young recorded there count.",
                "Keep the pairing and its young in one of the two books.",
                view.text(left.id),
            )
