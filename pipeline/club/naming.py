"""What each book of a run is called: its file name, and where several have that, as much of the folder as tells them apart."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from pipeline.problems import Place, Problem, Severity


@dataclass(frozen=True)
class Given:
    """One book of the run. `name` stands in the column `book` of every answer; `remarks` say what is unusual about it."""

    path: Path
    name: str
    remarks: tuple[Problem, ...] = ()

    @property
    def doubts(self) -> tuple[Problem, ...]:
        """The remarks that are worth a word before the answers."""
        return tuple(one for one in self.remarks if one.severity is Severity.WARNING)


def given_books(paths: Sequence[Path]) -> tuple[Given, ...]:
    """The books in the order given, each once, under names that are all different.

    Two files of one name go by their last folders too ('ann/boas.xlsx'), by as few as tell them apart.
    """
    times = Counter(path.resolve() for path in paths)
    once: dict[Path, Path] = {}
    for path in paths:
        once.setdefault(path.resolve(), path)
    names = _names(list(once))
    return tuple(
        Given(path, names[whole], tuple(_remarks(path, names[whole], times[whole])))
        for whole, path in once.items()
    )


def _names(paths: Sequence[Path]) -> dict[Path, str]:
    """The shortest ends of the paths, of the same length within a file name, that are all different."""
    alike: dict[str, list[Path]] = {}
    for path in paths:
        alike.setdefault(path.name, []).append(path)
    names: dict[Path, str] = {}
    for same in alike.values():
        length = 1
        while len({path.parts[-length:] for path in same}) < len(same):
            length += 1
        names |= {path: "/".join(path.parts[-length:]) for path in same}
    return names


def _remarks(path: Path, name: str, times: int) -> Iterable[Problem]:
    if name != path.name:
        yield Problem(
            Severity.NOTE,
            Place(name, ""),
            f"Several books are called {path.name}; this one goes by {name} here.",
            "Give each book a name of its own to keep its earlier answers comparable.",
        )
    if times > 1:
        yield Problem(
            Severity.WARNING,
            Place(name, ""),
            f"{name} was given more than once; it was read once.",
            "Name every book once.",
        )
