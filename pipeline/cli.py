"""Words in, words out: the command line. Heavy libraries are imported by the command that needs them."""

import os
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pipeline import __version__
from pipeline.errors import BookError, ProveoutError
from pipeline.resources import settle
from pipeline.sentences import Sentences, tell

if TYPE_CHECKING:
    from pipeline.club.reading import Trouble

CAUTION = (
    "proveout computes from what your book says. It is no veterinary, legal or business advice: local codes, a reptile "
    "vet and licensed practice come first."
)
_PATH = click.Path(readable=False, path_type=Path)


class _Book(click.Path):
    """A book to read; says so where it is open in another program, for then the file may not be all."""

    def __init__(self) -> None:
        super().__init__(readable=False, path_type=Path)

    def convert(self, value: Any, param: click.Parameter | None, context: click.Context | None) -> Any:
        """The path as typed. BookError where it names a folder by a dot or a root alone."""
        path = super().convert(value, param, context)
        assert isinstance(path, Path)  # as path_type has it
        if not path.name:
            raise BookError(f"{path.resolve()} is a folder; give the workbook (.xlsx) inside it.")
        if _is_open(path):
            tell(f"proveout: {path.name} is open in Excel or LibreOffice; what is not saved there yet is not read.", err=True)
        return path


_BOOK = _Book()


class _Date(click.DateTime):
    """A day, and in words what one looks like."""

    def __init__(self) -> None:
        super().__init__(formats=["%Y-%m-%d"])

    def convert(self, value: Any, param: click.Parameter | None, context: click.Context | None) -> Any:
        """The day as a datetime at midnight; a usage error in words where it is none."""
        try:
            return super().convert(value, param, context)
        except click.BadParameter:
            self.fail(f"{value} is no date; write year-month-day, such as 2026-11-01.", param, context)


_DATE = _Date()


@click.group(
    cls=Sentences,
    epilog=CAUTION,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.version_option(__version__, "--version", message="proveout %(version)s")
def main() -> None:
    """A breeder's Excel workbook in, a season report out.

    Start with `proveout new my-collection.xlsx`, fill the book, then run `proveout season my-collection.xlsx`.
    Your book is only read, never changed.
    """
    settle()


@main.command()
@click.argument("book", type=_PATH)
@click.option("--example", is_flag=True, help="Write the invented demo collection instead of a blank book.")
@click.option("--from", "old", type=_BOOK, metavar="OLD", help="Bring in an existing list (.xlsx, .xlsm, .csv), which is only read.")
@click.option("--dry-run", is_flag=True, help="With --from: show which column would go where, and write nothing.")
@click.option("--species", default="", metavar="NAME", help="With --from: the species of rows that name none.")
@click.option("--place", multiple=True, metavar='"THEIR COLUMN=Animals.Born"', help="With --from: where a column belongs, or =Notes; may be repeated.")
@click.option("--dates", type=click.Choice(["day-first", "month-first"]), help="With --from: how 3/4/2024 is meant where its column does not tell.")
def new(
    book: Path, example: bool, old: Path | None, dry_run: bool, species: str, place: tuple[str, ...], dates: str | None
) -> None:  # fmt: skip
    """Write a blank workbook to fill in, with drop-downs, notes and a first page of help.

    With --from, an existing list with other sheets and headers is brought into it. Look at what goes where with
    --dry-run first. What finds no place is kept under Notes and on a sheet 'Left over'.
    """
    if old is None and (dry_run or species or place or dates):
        raise click.UsageError("--dry-run, --species, --place and --dates go with --from OLD, the list to bring in.")
    if old is not None and example:
        raise click.UsageError("Choose either --example or --from OLD.")
    if old is not None:
        _bring(old, book, dry_run, species, place, dates)
        return
    if example:
        from pipeline.example.collection import write_example

        write_example(book)
    else:
        from pipeline.workbook.template import write_book

        write_book(book)
    click.echo(f"Wrote {book}. Open it in Excel or LibreOffice; its first sheet says where to begin.")


def _bring(
    old: Path, book: Path, dry_run: bool, species: str, place: tuple[str, ...], dates: str | None
) -> None:  # fmt: skip
    from pipeline.workbook.bringing.bring import bring, write_brought
    from pipeline.workbook.bringing.carrying import ORDERS
    from pipeline.workbook.bringing.telling import brought_text

    brought = bring(old, species, place, ORDERS.get(dates))
    if not dry_run:
        write_brought(brought, book)
    tell(brought_text(brought))
    if dry_run:
        click.echo("Nothing is written. Run the same without --dry-run to write the book.")
    else:
        click.echo(f"Wrote {book}. Now run `proveout check {book}`: it says what to fill in.")


@main.command()
@click.argument("book", type=_BOOK)
@click.option("--mark", type=_PATH, metavar="COPY.xlsx", help="Also write a copy of the book with the cells marked.")
@click.option("--json", "as_json", is_flag=True, help="Print the problems as JSON.")
@click.option("--as-of", type=_DATE, metavar="DATE", help="The day to check against; default: today.")
@click.pass_context
def check(context: click.Context, book: Path, mark: Path | None, as_json: bool, as_of: datetime | None) -> None:
    """List what can't be read or does not add up, by sheet and cell.

    Exits with 0 where there is no error, 1 where rows had to be left out, 2 where the file can't be read.
    """
    from pipeline.book_check import run_check
    from pipeline.problems import Severity
    from pipeline.report.problem_text import problems_json, problems_text
    from pipeline.workbook.sheets import SHEETS

    problems = run_check(book, as_of=_day(as_of))
    sheets = [sheet.name for sheet in SHEETS]
    click.echo(problems_json(problems)) if as_json else tell(problems_text(problems, sheets))
    if mark is not None:
        from pipeline.workbook.marking import mark_copy

        marked = mark_copy(book, problems, mark)
        click.echo(f"Marked {marked} cell{'' if marked == 1 else 's'} in {mark}.", err=as_json)
    context.exit(any(problem.severity is Severity.ERROR for problem in problems))


@main.command()
@click.argument("books", type=_BOOK, nargs=-1, required=True, metavar="BOOK.xlsx [MORE.xlsx ...]")
@click.option("--out", type=_PATH, metavar="DIR", help="Folder for the results; default: BOOK-season beside the book.")
@click.option("--season", "year", type=int, metavar="YEAR", help="The season to report on; default: the latest.")
@click.option("--as-of", type=_DATE, metavar="DATE", help="The day the analysis speaks of; default: today.")
@click.option("--seed", type=click.IntRange(min=0), metavar="N", help="Start of the random numbers; default: the Settings sheet's.")
@click.option("--jobs", type=click.IntRange(min=1), metavar="N", help="Processes for many books; default: one a processor.")
@click.option("--parquet", is_flag=True, help="Leave the records as Parquet files besides, a folder a book.")
@click.option("--open", "open_page", is_flag=True, help="Open the report when it is done.")
@click.option("--watch", is_flag=True, help="Run again whenever a book is saved; the open report follows. Ctrl+C ends it.")
@click.pass_context
def season(
    context: click.Context, books: tuple[Path, ...], out: Path | None, year: int | None, as_of: datetime | None, seed: int | None,
    jobs: int | None, parquet: bool, open_page: bool, watch: bool,
) -> None:  # fmt: skip
    """The whole analysis: ratios, growth, prices, and a report to read.

    Several books (a club's) make one report that names the book of every finding; one that can't be read is said there,
    and the others are answered. Exits with 0 where every book was answered, 1 where the request can't be met, 2 where
    a book can't be read, 3 where a fault of proveout's own kept a book from being answered.
    """
    from pipeline.season import run_season

    code = 0

    def run() -> Path:
        nonlocal code
        with _progress() as say:
            number = _run_number() if watch else 0
            result = run_season(books, out, season=year, as_of=_day(as_of), seed=seed, watched=number, say=say, jobs=jobs, parquet=parquet)
        code = _tell_troubles(result.troubles)
        for remark in result.remarks:
            tell(f"proveout: {remark}", err=True)
        for sentence in result.headlines or ("There is nothing to tell yet; the report says which sheets to fill.",):
            tell(f"- {sentence}")
        click.echo(f"Report: {result.page}")
        return result.page

    if watch:
        from pipeline.watching import require_watching, saves

        require_watching()
        saved = saves(books)
    page = run()
    if open_page:
        click.launch(page.resolve().as_uri())
    if watch:
        _again(run, saved)
    context.exit(code)


@main.command()
@click.argument("book", type=_BOOK)
@click.argument("dam")
@click.argument("sire")
@click.option("--species", help="Needed where DAM or SIRE is a label and the book has several species.")
@click.option("--json", "as_json", is_flag=True, help="Print the result as JSON.")
def cross(book: Path, dam: str, sire: str, species: str | None, as_json: bool) -> None:
    """Expected young of one pair. DAM and SIRE are an animal's ID, or a label in quotes."""
    from pipeline.findings.crossing import cross_pair
    from pipeline.report.cross_text import cross_json, cross_text
    from pipeline.workbook.checking import checked
    from pipeline.workbook.reading import read_book

    expected = cross_pair(checked(read_book(book), _day(None)).collection, dam, sire, species)
    click.echo(cross_json(expected)) if as_json else tell(cross_text(expected))


@main.command()
@click.argument("book", type=_BOOK)
@click.argument("animal", metavar="ID")
@click.option("--out", type=_PATH, metavar="FILE.html", help="The page to write; default: BOOK-ID.html beside the book.")
@click.option("--as-of", type=_DATE, metavar="DATE", help="The day the page speaks of; default: today.")
@click.option("--open", "open_page", is_flag=True, help="Open the page when it is done.")
def sheet(book: Path, animal: str, out: Path | None, as_of: datetime | None, open_page: bool) -> None:
    """One animal's page to print: what can honestly be claimed of it, its ancestors, its growth, its young."""
    from pipeline.one_animal import run_sheet

    with _progress() as say:
        page = run_sheet(book, animal, out, as_of=_day(as_of), say=say)
    click.echo(f"Sheet: {page}")
    if open_page:
        click.launch(page.resolve().as_uri())


@main.command()
@click.argument("book", type=_BOOK)
@click.option("--as-of", type=_DATE, metavar="DATE", help="The day the plan speaks of; default: today.")
@click.option("--seed", type=click.IntRange(min=0), metavar="N", help="Start of the random numbers; default: the Settings sheet's.")
def plan(book: Path, as_of: datetime | None, seed: int | None) -> None:
    """Next season's pairs and the way to the goals, alone. Nothing is written."""
    from pipeline.report.plan_text import plan_text
    from pipeline.season import run_plan

    with _progress() as say:
        findings = run_plan(book, as_of=_day(as_of), seed=seed, say=say)
    tell(plan_text(findings))


def _tell_troubles(troubles: "Sequence[Trouble]") -> int:
    """Say which books have no answers and why, a fault of ours with its traceback; the code to exit with."""
    for trouble in troubles:
        tell(f"proveout: {trouble.book}: {trouble.sentence}", err=True)
    for traceback in dict.fromkeys(trouble.traceback for trouble in troubles if trouble.traceback):
        click.echo(traceback, err=True)
    return max((3 if trouble.traceback else 2 for trouble in troubles), default=0)


def _again(run: Callable[[], object], saved: Iterator[None]) -> None:
    """Run whenever a book is saved. What goes wrong is said, and the wait goes on: the next save may mend it."""
    click.echo("Waiting for the book to be saved; Ctrl+C ends.", err=True)
    for _ in saved:
        try:
            run()
        except ProveoutError as error:
            tell(f"proveout: {error}", err=True)


def _run_number() -> int:
    """A number that the run before did not have: an open page tells runs apart by it."""
    from pipeline.report.watched import HIGHEST

    return int(time.time()) % HIGHEST + 1


def _is_open(book: Path) -> bool:
    """Whether Excel's or LibreOffice's marker of an open book lies beside it."""
    return any(os.path.lexists(book.parent / marker) for marker in (f"~${book.name}", f".~lock.{book.name}#"))


def _day(as_of: datetime | None) -> date:
    """The one place where the clock is asked for the day."""
    return as_of.date() if as_of else date.today()


@contextmanager
def _progress() -> Iterator[Callable[[str], None]]:
    """Shows the step at hand where a person is watching; silent in a pipe."""
    if not sys.stderr.isatty():
        yield lambda step: None
        return
    from rich.console import Console

    with Console(stderr=True).status("Starting …") as status:
        yield lambda step: status.update(f"{step} …")
