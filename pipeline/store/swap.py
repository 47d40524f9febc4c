"""A folder of results that is replaced whole or not at all."""

import ctypes
import os
import shutil
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from pipeline.errors import RequestError

MARK = "season.duckdb"
"""The file by which a folder is known as one of ours."""
OURS = frozenset({"report.html", "findings.xlsx", MARK, "charts", "watched.svg"})
_STALE_SECONDS = 3600.0
_RENAME_EXCHANGE = 2
_AT_FDCWD = -100


@contextmanager
def swapped_in(target: Path) -> Iterator[Path]:
    """A new folder to fill; on leaving without an error it takes the place of `target`.

    Until then `target` stays as it was, and so it does when the run fails or is killed. Files in `target` that are
    not ours are carried over. Raises RequestError where `target` is a file, or holds files but no earlier results:
    such a folder is somebody's, and is not for us to replace.
    """
    _refuse_foreign(target)
    target.parent.mkdir(parents=True, exist_ok=True)
    _restore(target)
    _sweep(target)
    making = Path(tempfile.mkdtemp(prefix=f".{target.name}.making-", dir=target.parent))
    making.chmod(0o755)
    try:
        yield making
        _take_place(making, target)
    except BaseException:
        shutil.rmtree(making, ignore_errors=True)
        raise


def _refuse_foreign(target: Path) -> None:
    if target.is_dir():
        if any(target.iterdir()) and not (target / MARK).exists():
            raise RequestError(
                f"The folder {target} holds other files; name a folder of its own with --out, so that nothing of yours "
                "is replaced."
            )
    elif target.exists():
        raise RequestError(f"{target} is a file; name a folder with --out.")


def _replaced(target: Path) -> Path:
    return target.with_name(f".{target.name}.replaced")


def _restore(target: Path) -> None:
    """Put back what a run killed between the two renames of `_take_place` had moved aside."""
    if not target.exists() and _replaced(target).is_dir():
        _replaced(target).rename(target)


def _sweep(target: Path) -> None:
    """Remove what killed runs left; a younger folder may belong to a run still going on."""
    for left in target.parent.glob(f".{target.name}.making-*"):
        with suppress(OSError):
            if time.time() - left.stat().st_mtime > _STALE_SECONDS:
                shutil.rmtree(left)
    shutil.rmtree(_replaced(target), ignore_errors=True)


def _take_place(making: Path, target: Path) -> None:
    if not target.exists():
        making.rename(target)
        return
    old = making if _exchanged(making, target) else _replaced(target)
    if old is not making:
        target.rename(old)
        making.rename(target)
    for entry in old.iterdir():
        if entry.name not in OURS:
            shutil.move(entry, target / entry.name)
    shutil.rmtree(old, ignore_errors=True)


def _exchanged(one: Path, other: Path) -> bool:
    """Exchange two folders in one step, where the system can (Linux's renameat2); False where it can't."""
    if not sys.platform.startswith("linux"):
        return False
    with suppress(OSError, AttributeError):
        libc = ctypes.CDLL(None, use_errno=True)
        done = libc.renameat2(_AT_FDCWD, os.fsencode(one), _AT_FDCWD, os.fsencode(other), _RENAME_EXCHANGE)
        return done == 0
    return False
