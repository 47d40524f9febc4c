"""Each book of a run read, checked and put by until it is answered; what can't be read is said of that book alone."""

import pickle
import traceback
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import NoReturn

from pipeline.club.naming import Given
from pipeline.club.processes import Workers
from pipeline.errors import NO_MEMORY, BookError, lacks_memory, refusal
from pipeline.problems import Place, Problem, Severity
from pipeline.workbook.checking import Checked, checked
from pipeline.workbook.pooling.offer import Offer, offer_of
from pipeline.workbook.reading import read_book

Kept = Checked | Path
"""A checked book, or the file where it was put by."""


@dataclass(frozen=True)
class Reading:
    """One book to read. `shelf` is the folder where to put it by; None: it is handed on as it is."""

    given: Given
    as_of: date
    seed: int | None
    shelf: Path | None = None
    number: int = 1


@dataclass(frozen=True)
class Trouble:
    """Why a book has no answers: one sentence, and the traceback where the fault is ours."""

    book: str
    sentence: str
    traceback: str = ""

    @property
    def problem(self) -> Problem:
        """As an error of the whole book, for the table of problems."""
        hint = (
            "Report it with the lines that the command printed."
            if self.traceback
            else "The other books were answered without it."
        )
        return Problem(Severity.ERROR, Place(self.book, ""), self.sentence, hint)


@dataclass(frozen=True)
class Member:
    """One book of the run, as read: where it is kept, and what it offers to the others."""

    given: Given
    kept: Kept | None = None
    offer: Offer | None = None
    trouble: Trouble | None = None


def trouble_of(book: str, error: Exception) -> Trouble:
    """Why a book has no answers, by what was raised. Raises it anew where a disk refuses: that is trouble of the whole run."""
    if isinstance(error, BookError):
        return Trouble(book, str(error))
    if lacks_memory(error):
        return Trouble(book, f"{NO_MEMORY}, with --jobs 1 or with fewer books at once.")
    if refusal(error):
        raise error
    said = "A fault of proveout itself, not of the book, kept it from being answered."
    return Trouble(book, said, "".join(traceback.format_exception(error)))


def read_member(task: Reading) -> Member:
    """Read, check and put by. With a shelf there are other books, so whatever goes wrong with one is told, not raised."""
    if task.shelf is None:
        return _member(task)
    try:
        return _member(task)
    except Exception as error:
        return Member(task.given, trouble=trouble_of(task.given.name, error))


def _member(task: Reading) -> Member:
    book = seeded(checked(read_book(task.given.path, task.given.name), task.as_of), task.seed)
    return Member(task.given, _put_by(book, task), offer_of(book))


def seeded(book: Checked, seed: int | None) -> Checked:
    """The book with the seed asked for in place of its setting."""
    if seed is None:
        return book
    settings = replace(book.collection.settings, seed=seed)
    return replace(book, collection=replace(book.collection, settings=settings))


def _put_by(book: Checked, task: Reading) -> Kept:
    if task.shelf is None:
        return book
    path = task.shelf / f"{task.number}.book"
    path.write_bytes(pickle.dumps(book, protocol=pickle.HIGHEST_PROTOCOL))
    return path


def fetched(kept: Kept) -> Checked:
    """A book that was put by in this run."""
    return pickle.loads(kept.read_bytes()) if isinstance(kept, Path) else kept


def read_members(
    given: Sequence[Given],
    workers: Workers,
    shelf: Path | None,
    *,
    as_of: date,
    seed: int | None,
    say: Callable[[str], None],
) -> list[Member]:
    """Every book read, in the order given. What `refuse` raises where not one can be read."""
    tasks = [Reading(one, as_of, seed, shelf, number) for number, one in enumerate(given, start=1)]
    members = []
    for member in workers.in_order(read_member, tasks):
        members.append(member)
        if len(given) > 1:
            say(f"Reading, {len(members)} of {len(given)} books")
    if not any(member.kept for member in members):
        refuse([member.trouble for member in members if member.trouble])
    return members


def refuse(troubles: Sequence[Trouble]) -> NoReturn:
    """No book of the run has an answer. Raises BookError, or RuntimeError with the traceback where a fault is ours."""
    for trouble in troubles:
        if trouble.traceback:
            raise RuntimeError(f"{trouble.book}: {trouble.sentence}\n{trouble.traceback}")
    first = troubles[0]
    raise BookError(f"None of the {len(troubles)} books can be answered. {first.book}: {first.sentence}")
