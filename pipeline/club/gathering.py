"""The answers of many books brought into one store, a batch of books at a time and in their order."""

from __future__ import annotations

import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Self

from pipeline.club.reading import Trouble
from pipeline.store.database import Store
from pipeline.store.scratch import joined
from pipeline.workbook.problem_table import problems_frame

if TYPE_CHECKING:
    import pandas as pd

BATCH = 32
"""Books whose tables are put into the store at once: a table takes as long to open as hundreds of its rows to write."""


@dataclass(frozen=True)
class Answered:
    """The tables of a book, or of several that are answered together; or why there are none."""

    books: tuple[str, ...]
    records: Mapping[str, pd.DataFrame] = field(default_factory=dict)
    findings: Mapping[str, pd.DataFrame] = field(default_factory=dict)
    troubles: tuple[Trouble, ...] = ()


class Gathering:
    """Saves what is added, batch by batch, in the order of adding; as a context manager, the last batch on leaving."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._waiting: list[Answered] = []
        self.troubles: list[Trouble] = []

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, where: TracebackType | None
    ) -> None:
        if kind is None:
            self._save()

    def add(self, answered: Answered) -> None:
        """Take some books' tables; a book in trouble has a problem instead."""
        if answered.troubles:
            self.troubles += answered.troubles
            table = problems_frame([trouble.problem for trouble in answered.troubles])
            answered = Answered(answered.books, findings={"problems": table})
        self._waiting.append(answered)
        if len(self._waiting) >= BATCH:
            self._save()

    def _save(self) -> None:
        waiting, self._waiting = self._waiting, []
        self._store.load(_together([one.records for one in waiting]))
        for name, frame in _together([one.findings for one in waiting]).items():
            self._store.save(name, frame)


def _together(parts: list[Mapping[str, pd.DataFrame]]) -> dict[str, pd.DataFrame]:
    """Each table of several books as one."""
    frames: dict[str, list[pd.DataFrame]] = {}
    for part in parts:
        for name, frame in part.items():
            if len(frame):
                frames.setdefault(name, []).append(frame)
    return {name: joined(own) for name, own in frames.items()}


@contextmanager
def shelf(making: Path, books: int) -> Iterator[Path | None]:
    """A folder where several books are put by between reading and answering; a lone book needs none."""
    if books < 2:
        yield None
        return
    folder = making / "books"
    folder.mkdir(mode=0o700)
    yield folder
    shutil.rmtree(folder)
