"""How spreadsheet programs save: through other files, under marks of their own. Each save counts once, the marks never."""

import threading
import time
from pathlib import Path

import pytest

from pipeline import watching

DEBOUNCED = 2.5
"""Seconds after which whatever the library has gathered has been told."""


class Counter:
    """Counts what `saves` tells of some books, in a thread of its own."""

    def __init__(self, *books: Path) -> None:
        self.count = 0
        self._told = threading.Condition()
        self._saves = watching.saves(books)
        threading.Thread(target=self._follow, daemon=True).start()
        time.sleep(0.3)

    def _follow(self) -> None:
        for _ in self._saves:
            with self._told:
                self.count += 1
                self._told.notify_all()

    def reaches(self, count: int) -> bool:
        with self._told:
            return self._told.wait_for(lambda: self.count >= count, timeout=20)


@pytest.fixture
def book(tmp_path):
    path = tmp_path / "small.xlsx"
    path.write_bytes(b"before")
    return path


def as_excel(book: Path) -> None:
    """The new content in a file without ending, the old one put aside, the two exchanged, the old one deleted."""
    new, old = book.with_name("A1B2C300"), book.with_name("D4E5F600.tmp")
    new.write_bytes(b"saved by the one")
    book.rename(old)
    new.rename(book)
    old.unlink()


def as_libreoffice(book: Path) -> None:
    """The new content in a temporary file, which takes the book's place."""
    new = book.with_name("lu4711abc.tmp")
    new.write_bytes(b"saved by the other")
    new.replace(book)


def in_place(book: Path) -> None:
    """Piece by piece into the book itself."""
    with book.open("wb") as file:
        for _ in range(20):
            file.write(b"x" * 1_000)
            file.flush()
            time.sleep(0.01)


@pytest.mark.parametrize("save", [as_excel, as_libreoffice, in_place])
def test_saves__a_save_counts_once(book, save):
    counter = Counter(book)
    save(book)
    assert counter.reaches(1)
    time.sleep(DEBOUNCED)
    assert counter.count == 1
    save(book)
    assert counter.reaches(2)


def test_saves__marks_of_an_open_book_and_other_files_count_nothing(book):
    counter = Counter(book)
    for name in ("~$small.xlsx", ".~lock.small.xlsx#", "other.xlsx", "small.xlsx.bak"):
        book.with_name(name).write_bytes(b"mine")
    book.with_name("~$small.xlsx").unlink()
    book.with_name("small-season").mkdir()
    (book.with_name("small-season") / "report.html").write_text("page")
    time.sleep(DEBOUNCED)
    assert counter.count == 0


def test_saves__a_book_given_by_another_way_to_it(book, monkeypatch):
    monkeypatch.chdir(book.parent)
    counter = Counter(Path("small.xlsx"))
    as_excel(book)
    assert counter.reaches(1)
