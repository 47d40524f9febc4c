"""What takes long to make and is the same for every run: kept in the user's cache, made anew where it no longer holds.

A cache that can't be read or written costs time and nothing else.
"""

import contextlib
import hashlib
import os
import tempfile
from collections.abc import Callable, Iterable
from pathlib import Path


def kept(name: str, of: str, make: Callable[[], bytes], cache: Path | None = None) -> bytes:
    """What `make` gives, or gave an earlier run, kept under `name`. Whatever it depends on is told in `of`: another `of`
    makes it anew. `cache` is the directory (None: the user's cache directory)."""
    found = find(name, of, cache)
    if found is None:
        found = make()
        keep(name, of, found, cache)
    return found


def find(name: str, of: str, cache: Path | None = None) -> bytes | None:
    """What is kept under `name` of that very `of`; None where there is none, or it isn't whole."""
    with contextlib.suppress(OSError):
        head, _, content = ((cache or _cache()) / name).read_bytes().partition(b"\n")
        return content if head == _head(of, content) else None
    return None


def keep(name: str, of: str, content: bytes, cache: Path | None = None) -> None:
    """Keep it, under another name until it is whole: a run beside this one never reads half a file."""
    with contextlib.suppress(OSError):
        directory = cache or _cache()
        directory.mkdir(parents=True, exist_ok=True)
        handle, part = tempfile.mkstemp(dir=directory, suffix=".part")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(_head(of, content) + b"\n" + content)
            Path(part).replace(directory / name)
        except OSError:
            Path(part).unlink(missing_ok=True)


def sources(paths: Iterable[Path]) -> str:
    """Changes when one of the files does: for what is made by our own code."""
    return hashlib.sha256(b"\0".join(path.read_bytes() for path in paths)).hexdigest()


def _head(of: str, content: bytes) -> bytes:
    """The first line of a kept file: by it a damaged one is known."""
    return hashlib.sha256(of.encode() + b"\n" + content).hexdigest().encode()


def _cache() -> Path:
    from platformdirs import user_cache_path

    return user_cache_path("proveout")
