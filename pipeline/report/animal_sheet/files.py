"""Where a sheet is written: under a name any file system takes, whole or not at all, and only over a sheet of ours."""

import re
import zlib
from contextlib import suppress
from pathlib import Path
from uuid import uuid4

from pipeline.errors import RequestError

MARK = '<meta name="generator" content="proveout animal sheet">'
"""By this line, near its beginning, a file is known as a sheet of ours."""
_HEAD = 4096
_LONGEST = 40


def sheet_path(book: Path, animal: str) -> Path:
    """BOOK-ID.html beside the book. An ID that no file name can hold as it is gets a check number, so that no two share a name."""
    safe = re.sub(r"[^\w.-]+", "-", animal)[:_LONGEST]
    name = safe if safe == animal else f"{safe.strip('-.') or 'animal'}-{zlib.crc32(animal.encode()):08x}"
    return book.with_name(f"{book.stem}-{name}.html")


def refuse_foreign(path: Path) -> None:
    """RequestError where `path` is a folder, lies in none, can't be looked at, or is a file that is no sheet of ours."""
    remedy = "name another file with --out"
    try:
        _refuse(path, remedy)
    except OSError as error:
        raise _unwritable(path, error) from error


def _refuse(path: Path, remedy: str) -> None:
    if path.is_dir():
        raise RequestError(f"{path} is a folder; {remedy}.")
    if not path.parent.is_dir():
        raise RequestError(f"The folder {path.parent} does not exist; make it first, or {remedy}.")
    if path.exists() and not (path.is_file() and _is_ours(path)):
        raise RequestError(f"{path} is no animal sheet and is not written over; {remedy}.")


def write_sheet(text: str, path: Path) -> None:
    """Write the sheet beside its place and swap it in; an earlier sheet is replaced only by a whole one.

    Raises RequestError as `refuse_foreign` does, and where the file system refuses.
    """
    refuse_foreign(path)
    making = path.with_name(f".sheet-{uuid4().hex}")
    try:
        making.write_text(text, encoding="utf-8", newline="\n")
        making.replace(path)
    except OSError as error:
        raise _unwritable(path, error) from error
    finally:
        with suppress(OSError):
            making.unlink(missing_ok=True)


def _unwritable(path: Path, error: OSError) -> RequestError:
    reason = (error.strerror or "the system gives no reason").lower()
    return RequestError(f"{path} can't be written ({reason}); close it, or name another file with --out.")


def _is_ours(path: Path) -> bool:
    with path.open("rb") as file:
        return MARK.encode() in file.read(_HEAD)
