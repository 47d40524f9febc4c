"""The whole season, top to bottom: books in, a folder of answers out. Who reads only this file knows the pipeline."""

from collections.abc import Callable, Collection, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from pathlib import Path

import pandas as pd

from pipeline.club.gathering import Answered, Gathering, shelf
from pipeline.club.linking import Party, parties, shared_frame, told_more
from pipeline.club.naming import given_books
from pipeline.club.processes import Workers, processes_for
from pipeline.club.reading import Member, Trouble, fetched, read_members, refuse, seeded, trouble_of
from pipeline.errors import RequestError
from pipeline.findings.changes import change_findings
from pipeline.questions import Run, answers, told
from pipeline.report.book_links import ways_from
from pipeline.report.chart_files import write_charts
from pipeline.report.chosen_charts import chosen_charts
from pipeline.report.drawing import Drawing
from pipeline.report.findings_book import write_findings_book
from pipeline.report.head import PageHead
from pipeline.report.page import write_page
from pipeline.report.watched import write_stamp
from pipeline.store.database import Store
from pipeline.store.earlier import earlier_findings, understood
from pipeline.store.foremost import Foremost, foremost
from pipeline.store.parquet import FOLDER as PARQUET
from pipeline.store.parquet import write_records
from pipeline.store.scratch import Scratch
from pipeline.store.swap import swapped_in
from pipeline.weighing import weighed_as_one
from pipeline.workbook.checking import checked
from pipeline.workbook.reading import read_book

Findings = dict[str, pd.DataFrame]
Say = Callable[[str], None]


@dataclass(frozen=True)
class SeasonResult:
    """Where the answers lie, the page's first sentences, and the books that have no answers."""

    folder: Path
    page: Path
    headlines: tuple[str, ...]
    troubles: tuple[Trouble, ...] = ()
    remarks: tuple[str, ...] = ()
    """What was odd about how the books were given."""


def run_season(
    paths: Sequence[Path],
    out: Path | None = None,
    *,
    season: int | None = None,
    as_of: date,
    seed: int | None = None,
    watched: int = 0,
    say: Say = lambda step: None,
    questions: Collection[str] | None = None,
    jobs: int | None = None,
    executor: Executor | None = None,
    parquet: bool = False,
) -> SeasonResult:
    """Analyse the books and leave report.html, findings.xlsx, season.duckdb and charts/ in `out`.

    `out` defaults to BOOK-season beside the first book, `season` to the latest, `seed` to each book's setting,
    `questions` to all (names of QUESTIONS; for measuring: the page doesn't say what was left out), `jobs` to as many
    processes as the books are worth, or to the processes of an `executor` that see the same folders (a cluster's); the
    answers are the same whatever their number. `parquet` leaves the records as Parquet files besides, by book.
    `watched` (--watch alone) numbers the run, and has its page load anew when a run of another number takes its place.
    A book that can't be read, or that a fault of ours keeps from being answered, is told in `troubles` and on the page,
    and the others are answered. Raises BookError where none can be read, RequestError for a season without pairings or a
    folder that is not ours to replace; then, and when killed, the last complete folder stays as it was.
    """
    folder = out or paths[0].with_name(f"{paths[0].stem}-season".replace("\\", "-"))
    given = given_books(paths)
    say("Reading")
    with (
        swapped_in(folder) as making,
        Workers(processes_for(len(given), jobs), executor) as workers,
        shelf(making, len(given)) as put_by,
    ):
        remark = understood(folder / "season.duckdb")
        members = read_members(given, workers, put_by, as_of=as_of, seed=seed, say=say)
        with Drawing() as drawing:
            with Store(making / "season.duckdb") as store:
                task = partial(Task, as_of, questions, folder / "season.duckdb", remark)
                troubles = _answer_all(members, task, store, workers, say)
                store.save("books", store.query("books"))
                if parquet:
                    write_records(store, making / PARQUET)
                head = replace(_head(members, store, season, as_of), watched=watched)
                on_page, in_workbook = _shown(store, len(given))
            say("Writing the report")
            chosen = chosen_charts(on_page.findings, head)
            write_charts(chosen.pictures, making / "charts", drawing=drawing)
            headlines = write_page(on_page.findings, head, making / "report.html", chosen, on_page.cuts)
            if watched:
                write_stamp(making, watched)
            ways = ways_from(folder, {one.name: one.path for one in given})
            write_findings_book(
                in_workbook.findings, making / "findings.xlsx", as_of=as_of, books=ways, cuts=in_workbook.cuts
            )
    remarks = tuple(remark.message for one in given for remark in one.doubts)
    return SeasonResult(folder, folder / "report.html", tuple(headlines), troubles, remarks)


@dataclass(frozen=True)
class Task:
    """What is asked of a party of books: the day, the questions (None: all), the file of an earlier run's answers, and
    why it can't be compared with."""

    as_of: date
    questions: Collection[str] | None
    earlier: Path
    remark: str
    party: Party


def _answer_all(
    members: Sequence[Member], task: Callable[[Party], Task], store: Store, workers: Workers, say: Say
) -> tuple[Trouble, ...]:
    """Bring the answers of all books into the store, in their order; returns why some have none."""
    asked = [task(party) for party in parties(members)]
    if len(members) == 1:
        _answer(asked[0], store, say)
        return ()
    done = 0
    with Gathering(store) as gathering:
        for answered in workers.in_order(answer_party, asked):
            gathering.add(answered)
            done += len(answered.books)
            say(f"Answering, {done} of {len(members)} books")
        for member in members:
            if member.trouble:
                gathering.add(Answered((member.given.name,), troubles=(member.trouble,)))
        if len(gathering.troubles) == len(members):
            refuse(gathering.troubles)
    return tuple(gathering.troubles)


def answer_party(task: Task) -> Answered:
    """The answers of books that are answered together. A fault of ours is told, not raised: it is not to cost other
    books their answers. Raises what a disk refuses."""
    try:
        with Scratch() as store:
            _answer(task, store, lambda step: None, alone=False)
            return Answered(task.party.books, store.all_records(), store.saved())
    except Exception as error:
        return Answered(
            task.party.books, troubles=tuple(trouble_of(book, error) for book in task.party.books)
        )


def _answer(task: Task, store: Store, say: Say, *, alone: bool = True) -> None:
    """Load the books of a party, save the answers of each, and what changed since the earlier run. `alone`: no other book
    was given."""
    books = [told_more(fetched(kept), task.party) for kept in task.party.kept]
    for book in books:
        store.load(book.book.tables)
    runs = {book.book.name: Run(book, store, task.as_of, say, alone=alone) for book in books}
    if len(books) > 1:
        growth = {name: partial(_growth, run) for name, run in runs.items()}
        parts = weighed_as_one(books, task.party.shared, growth, as_of=task.as_of, say=say)
        for name, run in runs.items():
            run.weighing = parts[name]
    for name, run in runs.items():
        for table, frame in told(run, task.questions):
            store.save(table, frame.assign(book=name))
        if len(books) > 1:
            store.save("shared_animals", shared_frame(task.party.shared, name))
        earlier = None if task.remark else earlier_findings(task.earlier, name)
        now = store.findings() if earlier else {}
        for table, frame in change_findings(earlier, now, name, task.as_of, task.remark).items():
            store.save(table, frame.assign(book=name))


def _growth(run: Run) -> pd.DataFrame:
    return run.growth.growth


def run_plan(path: Path, *, as_of: date, seed: int | None = None, say: Say = lambda step: None) -> Findings:
    """Next season's pairs and the way to the goals of one book, alone: their findings tables by name; nothing is written.

    Raises BookError for a file that can't be read.
    """
    say("Reading")
    book = seeded(checked(read_book(path), as_of), seed)
    with Store() as store:
        store.load(book.book.tables)
        found = answers(book, store, as_of, say, ("plan", "goals"))
        return {name: frame.assign(book=book.book.name) for name, frame in found}


PAGE_ROWS, WORKBOOK_ROWS = 12_000, 100_000
"""What the page and findings.xlsx hold of several books together; a lone book has it all, as far as Excel allows."""
EXCEL_ROWS = 1_000_000


def _shown(store: Store, books: int) -> tuple[Foremost, Foremost]:
    """The answers as the page and as findings.xlsx show them."""
    if books > 1:
        return foremost(store, PAGE_ROWS), foremost(store, WORKBOOK_ROWS)
    whole = Foremost(store.findings(), ())
    return whole, whole if whole.fits(EXCEL_ROWS) else foremost(store, EXCEL_ROWS)


def _head(members: Sequence[Member], store: Store, season: int | None, as_of: date) -> PageHead:
    seasons = store.query("seasons")["season"].tolist()
    if season is not None and season not in seasons:
        known = ", ".join(map(str, sorted(seasons))) or "none at all"
        raise RequestError(f"The book has no pairing of season {season}; its seasons are {known}.")
    settings = next(member.offer.settings for member in members if member.offer)
    return PageHead(
        books=tuple(member.given.name for member in members),
        as_of=as_of,
        season=season if season is not None else max(seasons, default=None),
        keeper=settings.keeper,
        level=settings.level,
        seed=settings.seed,
    )
