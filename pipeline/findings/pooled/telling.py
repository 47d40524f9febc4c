"""Tables and problems of the whole (see genetics/joined) as one of its books is told them.

An animal of another book keeps that book's name in brackets, 'B7 (south.xlsx)'. A record's finding is told in the book
that the record stands in; what is known of a shared animal, in every book that has it. What is shared out goes to all books
in one pass, and comes by book.
"""

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import replace

import pandas as pd

from pipeline.findings.carrier_claims import says
from pipeline.findings.carriers import CarrierFindings, book_label
from pipeline.findings.kin import KEPT, KinFindings
from pipeline.findings.suspicions import SuspicionFindings
from pipeline.genetics.joined import book_of
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


def own_odds(found: CarrierFindings, views: Sequence[View]) -> dict[str, pd.DataFrame]:
    """The odds of the animals that a book has; of a gene it does not list only where an animal may carry it."""
    places = _places(_having(views), ((odds.animal,) for odds in found.carriers.odds))
    return {view.book: _odds(found, places.get(view.book, ()), view) for view in views}


def _odds(found: CarrierFindings, places: Iterable[int], view: View) -> pd.DataFrame:
    odds = found.carriers.odds
    told = [
        place
        for place in places
        if odds[place].settled != "ruled out" or view.has_gene(odds[place].species, odds[place].gene)
    ]
    frame = found.odds.iloc[told].reset_index(drop=True)
    columns = {name: frame[name].tolist() for name in ("status", "book_label", "says")}
    whole = view.joined.collection.animals
    for at, place in enumerate(told):
        one, animal = odds[place], view.animal(odds[place].animal)
        columns["status"][at] = animal.status
        if book_of(whole[one.animal].row) != view.book:
            gene = view.gene(one.species, one.gene)
            columns["book_label"][at] = book_label(animal, gene)
            columns["says"][at] = says(replace(one, gene=gene), animal.label)
    typed = {name: pd.Series(values, dtype=frame[name].dtype) for name, values in columns.items()}
    return own_words(frame.assign(**typed), view)


def own_kin(found: KinFindings, views: Sequence[View]) -> dict[str, KinFindings]:
    """Inbreeding of a book's animals, and every pair of which it keeps one, whatever book has the other."""
    bred = _places(_having(views), ((animal,) for animal in found.inbreeding["animal"]))
    pairs = zip(found.kinship["dam"], found.kinship["sire"], strict=True)
    kin = _places(_having(views, KEPT), pairs)
    problems = own_problems(found.problems, views, {})
    return {
        view.book: _kin(
            found.inbreeding.iloc[bred.get(view.book, [])].reset_index(drop=True),
            found.kinship.iloc[kin.get(view.book, [])].reset_index(drop=True),
            problems[view.book],
            view,
        )
        for view in views
    }


def _kin(
    inbreeding: pd.DataFrame, kinship: pd.DataFrame, problems: Iterable[Problem], view: View
) -> KinFindings:
    statuses = inbreeding["animal"].map(lambda name: view.animal(name).status)
    inbreeding = inbreeding.assign(status=statuses.astype(inbreeding["status"].dtype))
    limit = view.own.settings.inbreeding_at_most
    return KinFindings(
        own_words(inbreeding.assign(over_limit=inbreeding["f"] > limit), view),
        own_words(kinship.assign(over_limit=kinship["f_young"] > limit), view),
        tuple(problems),
    )


def _having(views: Iterable[View], statuses: Sequence[str] = ()) -> dict[str, list[str]]:
    """The books that have each animal of the whole, in one of these statuses where any are given."""
    found: dict[str, list[str]] = {}
    for view in views:
        for name in view.animal_of:
            if not statuses or view.animal(name).status in statuses:
                found.setdefault(name, []).append(view.book)
    return found


def _places(books: Mapping[str, Iterable[str]], rows: Iterable[Iterable[str]]) -> dict[str, list[int]]:
    """The places of the rows in which a book's animals stand, by book; `books` are those of each animal."""
    found: dict[str, list[int]] = {}
    for place, animals in enumerate(rows):
        for book in {book: None for animal in animals for book in books.get(animal, ())}:
            found.setdefault(book, []).append(place)
    return found


def own_suspicions(found: SuspicionFindings, views: Sequence[View]) -> dict[str, SuspicionFindings]:
    """Suspicions of the records that stand in a book, at least as likely as its own setting asks, ranked anew."""
    records = _Records(views)
    places: dict[str, list[int]] = {view.book: [] for view in views}
    for place, row in enumerate(found.suspicions.to_dict("records")):
        for book in records.books(row):
            places[book].append(place)
    problems = own_problems(found.problems, views, {})
    return {
        view.book: _suspicions(
            found.suspicions.iloc[places[view.book]], found.rivals, problems[view.book], view
        )
        for view in views
    }


def _suspicions(
    rows: pd.DataFrame, rivals: pd.DataFrame, problems: Iterable[Problem], view: View
) -> SuspicionFindings:
    own = rows[rows["probability"] >= view.own.settings.report_suspicion_from]
    ranks = {old: new for new, old in enumerate(own["rank"].tolist(), start=1)}
    rivals = rivals[rivals["rank"].isin(ranks)]
    return SuspicionFindings(
        own_words(_ranked(own, ranks), view), own_words(_ranked(rivals, ranks), view), tuple(problems)
    )


def _ranked(frame: pd.DataFrame, ranks: Mapping[int, int]) -> pd.DataFrame:
    return frame.assign(rank=frame["rank"].map(ranks).astype(frame["rank"].dtype)).reset_index(drop=True)


class _Records:
    """Which books each record of the whole stands in."""

    def __init__(self, views: Sequence[View]) -> None:
        whole = views[0].joined.collection
        self._views = views
        self._animals = {name: book_of(animal.row) for name, animal in whole.animals.items()}
        self._pairings = {name: book_of(pairing.row) for name, pairing in whole.pairings.items()}

    def books(self, suspicion: Mapping[Hashable, object]) -> list[str]:
        """The book of a label, a parentage or a reading; of a gene's record every book that lists the gene."""
        subject, pairing = str(suspicion["subject"]), suspicion["pairing"]
        if suspicion["kind"] == "gene record":
            species, genes = str(suspicion["species"]), subject.split(", ")
            return [view.book for view in self._views if all(view.has_gene(species, gene) for gene in genes)]
        if suspicion["kind"] != "label" and isinstance(pairing, str) and pairing in self._pairings:
            return [self._pairings[pairing]]
        first = subject if subject in self._animals else subject.split(", ")[0]
        book = self._animals.get(first) or self._pairings.get(subject)
        return [book] if book else [view.book for view in self._views]


def own_problems(
    problems: Iterable[Problem], views: Sequence[View], letters: Mapping[str, Letters]
) -> dict[str, list[Problem]]:
    """Problems of records in a book, and of none in particular, in its words.

    Their columns are fields of the sheet Animals, whose `letters` differ from book to book.
    """
    by_book = {view.book: view for view in views}
    found: dict[str, list[Problem]] = {book: [] for book in by_book}
    for problem in problems:
        book = book_of(problem.place.row or 0)
        for view in [by_book[book]] if book else views:
            found[view.book].append(_own_problem(problem, view, letters.get(view.book, {})))
    return found


def _own_problem(problem: Problem, view: View, letters: Letters) -> Problem:
    place = problem.place
    column = letters.get(place.column) if place.column else None
    return replace(
        problem,
        place=Place(view.book, place.sheet, place.row and int(place.row), column),
        message=view.text(problem.message),
        hint=view.text(problem.hint),
        value=view.text(problem.value),
    )


def counted_once(views: Sequence[View]) -> dict[str, list[Problem]]:
    """A warning for each pairing of a book that another book records too and that counts there."""
    by_book = {view.book: view for view in views}
    found: dict[str, list[Problem]] = {book: [] for book in by_book}
    for counts, left in views[0].joined.twice:
        view = by_book[book_of(left.row)]
        found[view.book].append(
            Problem(
                Severity.WARNING,
                Place(view.book, "Pairings", int(left.row)),
                f"Pairing {view.text(left.id)} is {view.text(counts.id)} too: the same animals in the same season. Where both "
                "books are weighed together, only the young recorded there count.",
                "Keep the pairing and its young in one of the two books.",
                view.text(left.id),
            )
        )
    return found
