"""A folder of results that is replaced whole or not at all, at whichever step a run is cut off.

The new folder is made beside the old one and takes its place in one step where the system can exchange two folders, in
two renames where it can't. What a run that was killed left behind, the next one puts right: it puts back what was moved
aside, hands the keeper's own files on, and removes what is ours. Nothing that is not ours is ever deleted.
"""

import ctypes
import errno
import glob
import os
import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from io import BufferedWriter
from pathlib import Path
from stat import S_IMODE

from pipeline.errors import RequestError, refusals_told

try:
    import fcntl
except ImportError:  # Windows has locks of its own
    fcntl = None  # type: ignore[assignment]

MARK = "season.duckdb"
"""The file by which a folder is known as one of ours."""
OURS = frozenset({"report.html", "findings.xlsx", MARK, "charts", "season.parquet", "watched.svg"})
UNFINISHED = ".unfinished"
"""Lies in a folder that is being filled: all that is in it is ours."""
_RENAME_EXCHANGE = 2
_AT_FDCWD = -100
_REMEDY = "close what has a file of it open, or name another folder with --out"


@contextmanager
def swapped_in(target: Path) -> Iterator[Path]:
    """A new folder to fill; on leaving without an error it takes the place of `target`.

    Until then `target` stays as it was, and so it does when the run fails or is killed. Files in `target` that are
    not ours are carried over. Raises RequestError where `target` is a file, where it holds files but no earlier results
    (such a folder is somebody's, and is not for us to replace), where another run is about it, where the system does not
    let us write, and where the database would write elsewhere.
    """
    with refusals_told(_REMEDY, target, elsewhere="name another with --out"):
        target = target.resolve()
        _refuse_backslash(target)
        _refuse_foreign(target)
        target.parent.mkdir(parents=True, exist_ok=True)
        with _alone(target):
            _refuse_barred(target)
            _restore(target)
            _sweep(target)
            making = Path(tempfile.mkdtemp(prefix=f".{target.name}.making-", dir=target.parent))
            try:
                making.chmod(S_IMODE(target.stat().st_mode) if target.exists() else 0o755)
                (making / UNFINISHED).touch()
                yield making
                (making / UNFINISHED).unlink()
                _take_place(making, target)
            except BaseException:
                _restore(target)
                _drop(making, target)
                raise


@contextmanager
def _alone(target: Path) -> Iterator[None]:
    """Holds a lock that the system lifts when this process ends, however it ends: what lies beside is then litter."""
    place = target.with_name(f".{target.name}.lock")
    with place.open("ab") as lock:
        if not _locked(lock, place):
            raise RequestError(
                f"Another run is writing {target}; wait until it is done, or name another folder with --out."
            )
        try:
            yield
        finally:
            with suppress(OSError):
                place.unlink()
    if fcntl is None:  # Windows deletes no open file
        place.unlink(missing_ok=True)


def _locked(file: BufferedWriter, place: Path) -> bool:
    """Whether the lock is ours now. A file system that knows no locks is trusted."""
    try:
        if fcntl is None:
            import msvcrt

            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        else:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        return os.path.samestat(os.fstat(file.fileno()), place.stat())
    except (BlockingIOError, PermissionError, FileNotFoundError):
        return False
    except OSError:
        return True


def _refuse_backslash(target: Path) -> None:
    """DuckDB takes a backslash for a slash wherever it opens a database: where one is part of a name, that is another folder."""
    if any("\\" in part for part in target.parts[1:]):
        raise RequestError(
            f"The database can't be kept in {target}, for a backslash is part of that name; name another folder with --out."
        )


def _refuse_foreign(target: Path) -> None:
    if target.is_dir():
        if any(target.iterdir()) and not (target / MARK).exists():
            raise RequestError(
                f"The folder {target} holds other files; name a folder of its own with --out, so that nothing of yours "
                "is replaced."
            )
    elif target.exists():
        raise RequestError(f"{target} is a file; name a folder with --out.")


def _refuse_barred(target: Path) -> None:
    """A folder that may not be written could be exchanged all the same, but nothing in it handed on."""
    if target.exists() and not os.access(target, os.W_OK):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(target))


def _replaced(target: Path) -> Path:
    return target.with_name(f".{target.name}.replaced")


def _restore(target: Path) -> None:
    """Put back what a run cut off between the two renames of `_take_place` had moved aside."""
    if not target.exists() and _replaced(target).is_dir():
        _replaced(target).rename(target)


def _sweep(target: Path) -> None:
    """Remove what runs that were killed left."""
    for left in target.parent.glob(f".{glob.escape(target.name)}.making-*"):
        _drop(left, target)
    _clear(_replaced(target), target)


def _drop(making: Path, target: Path) -> None:
    """Remove a folder that was being filled, whatever is in it, or the earlier results that it was exchanged for."""
    if (making / UNFINISHED).exists():
        shutil.rmtree(making, ignore_errors=True)
    else:
        _clear(making, target)


def _clear(folder: Path, target: Path) -> None:
    """Remove a folder of earlier results. What is not ours in it goes to `target`, or stays where a file of that name is there."""
    with suppress(OSError):
        for entry in list(folder.iterdir()):
            if not _is_ours(entry.name):
                if target.is_dir() and not os.path.lexists(target / entry.name):
                    entry.rename(target / entry.name)
            elif entry.is_dir() and not entry.is_symlink():
                shutil.rmtree(entry, ignore_errors=True)
            else:
                entry.unlink()
        folder.rmdir()


def _is_ours(name: str) -> bool:
    """Results, and what the database keeps beside its file while it works."""
    return name in OURS or name.startswith(f"{MARK}.")


def _take_place(making: Path, target: Path) -> None:
    if not target.exists():
        making.rename(target)
    elif _exchanged(making, target):
        _clear(making, target)
    else:
        target.rename(_replaced(target))
        making.rename(target)
        _clear(_replaced(target), target)


def _exchanged(one: Path, other: Path) -> bool:
    """Exchange two folders in one step, where the system can (Linux's renameat2); False where it can't."""
    if not sys.platform.startswith("linux"):
        return False
    with suppress(OSError, AttributeError):
        libc = ctypes.CDLL(None, use_errno=True)
        done = libc.renameat2(_AT_FDCWD, os.fsencode(one), _AT_FDCWD, os.fsencode(other), _RENAME_EXCHANGE)
        return done == 0
    return False
