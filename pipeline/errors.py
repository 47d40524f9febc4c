"""What can go wrong, as a keeper meets it.

    ProveoutError            anything a keeper is told in one sentence; the command exits non-zero
    ├── BookError            the workbook can't be read at all (exit code 2)
    └── RequestError         the command asks for what the book doesn't hold (exit code 1)

A fault of a record inside a readable book is no exception but a `Problem` (see problems.py), so that all are
told at once. Faults of our own are not caught: they keep their traceback for whoever mends them. What the system refuses (no
room, no permission, no memory) is neither the keeper's fault nor ours, and is told in one sentence too.
"""

import errno
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


class ProveoutError(Exception):
    """One sentence that says what is wrong and what to do."""

    exit_code = 1


class BookError(ProveoutError):
    """The workbook can't be read: wrong format, broken, encrypted, missing."""

    exit_code = 2


class RequestError(ProveoutError):
    """The request can't be met: an unknown animal, a season without records."""


_NO_ROOM = frozenset({errno.ENOSPC, errno.EFBIG, getattr(errno, "EDQUOT", errno.ENOSPC)})
_BARRED = frozenset(
    {errno.EACCES, errno.EPERM, errno.EROFS, errno.EBUSY, errno.EIO, errno.ENAMETOOLONG, errno.ENOTDIR}
)
NO_MEMORY = "There is not enough memory; close other programs and run again"
_WORDS = {os.strerror(code): code for code in _NO_ROOM | _BARRED}


@contextmanager
def refusals_told(
    remedy: str, place: Path | None = None, *, elsewhere: str = "name another"
) -> Iterator[None]:
    """Turns what the system refuses while something is written (no room, no permission, a failing disk, no memory) into a
    sentence.

    `place` is what was to be written (None: the file that the system names), `remedy` what to do where it may not be,
    `elsewhere` where the disk has no room. A library's own exception counts where an OSError lies behind it, or where it
    repeats the system's words. Raises RequestError.
    """
    try:
        yield
    except ProveoutError:
        raise
    except Exception as error:
        if lacks_memory(error):
            raise RequestError(f"{NO_MEMORY}; nothing that was there before is changed.") from error
        refused = refusal(error)
        if refused is None:
            raise
        code, named = refused
        do = f"make room on that disk, or {elsewhere}" if code in _NO_ROOM else remedy
        raise RequestError(
            f"{place or named or 'A file'} can't be written ({os.strerror(code).lower()}); {do}; nothing that was there "
            "before is changed."
        ) from error


def lacks_memory(error: BaseException) -> bool:
    """Whether there was not enough memory, for Python or for the database."""
    return isinstance(error, MemoryError) or str(error).startswith("Out of Memory Error")


def refusal(error: BaseException | None) -> tuple[int, str] | None:
    """The system's number for what it refused and the file, None where the error is about something else."""
    while error is not None:
        if isinstance(error, OSError) and error.errno is not None and error.errno in _NO_ROOM | _BARRED:
            return error.errno, str(error.filename or "")
        told = next((code for words, code in _WORDS.items() if str(error).endswith(words)), None)
        if told is not None:
            return told, ""
        error = error.__cause__ or error.__context__
    return None
