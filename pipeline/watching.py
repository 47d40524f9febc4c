"""Waiting for a book to be saved. Excel saves to another file and renames it, so the folder is what is watched."""

from collections.abc import Iterator, Sequence
from importlib.util import find_spec
from pathlib import Path
from time import sleep

from pipeline.errors import RequestError

State = tuple[int, int] | None
_LOOK_AFTER = 2_000
"""Milliseconds without word from the system after which the files are looked at all the same."""
_MOMENT = 0.4
"""Seconds for which a book must not change to count as saved."""
_REMEDY = (
    "--watch needs the library watchfiles; install it with `pip install watchfiles`, or run without --watch."
)


def require_watching() -> None:
    """Raises RequestError, with the remedy, where the library that watches is missing."""
    if find_spec("watchfiles") is None:
        raise RequestError(_REMEDY)


def saves(paths: Sequence[Path]) -> Iterator[None]:
    """Once for each time that one of the books was saved since this call, until interrupted.

    What was saved while the last answer was in the making counts once more when that is done.
    """
    return _saves([path.resolve() for path in paths], _states(paths))


def _saves(paths: Sequence[Path], known: list[State]) -> Iterator[None]:
    from watchfiles import watch

    folders = sorted({path.parent for path in paths})
    for _ in watch(
        *folders,
        watch_filter=lambda change, name: Path(name) in paths,
        recursive=False,
        yield_on_timeout=True,
        rust_timeout=_LOOK_AFTER,
    ):
        found = known if _states(paths) == known else _settled(paths)
        if None not in found and found != known:
            known = found
            yield


def _settled(paths: Sequence[Path]) -> list[State]:
    """The states once they have stayed for a moment: a book may be written piece by piece."""
    found = _states(paths)
    while True:
        sleep(_MOMENT)
        before, found = found, _states(paths)
        if found == before:
            return found


def _states(paths: Sequence[Path]) -> list[State]:
    """Time and size of each file; None while it is away, as in the middle of a save."""
    states: list[State] = []
    for path in paths:
        try:
            state = path.stat()
        except OSError:
            states.append(None)
        else:
            states.append((state.st_mtime_ns, state.st_size))
    return states
