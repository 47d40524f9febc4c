"""The chart library as one piece of JavaScript, inlined into the page so that it opens without a network.

Making it takes over a second, so a copy is kept in the user's cache, one for each version of the library. A cache that
can't be read or written costs time and nothing else.
"""

import contextlib
import os
import re
import tempfile
from collections.abc import Callable
from importlib.metadata import version
from pathlib import Path


def chart_bundle(cache: Path | None = None, make: Callable[[], str] | None = None) -> str:
    """JavaScript that sets `window.vegaEmbed`, for a module script of its own; nothing in it ends that element.

    `cache` is the directory of the kept copy (None: the user's cache directory), `make` what makes the library anew.
    """
    kept = (cache or _cache_directory()) / f"charts-{version('vl-convert-python')}.js"
    with contextlib.suppress(OSError, UnicodeDecodeError):
        text = kept.read_text(encoding="utf-8")
        if text.endswith(_END):
            return text
    text = _ENDS_SCRIPT.sub(r"<\\\1", (make or _make)()) + _END
    with contextlib.suppress(OSError):
        _keep(kept, text)
    return text


# Only these can end or upset a script element; a bare '</' stays, for it also ends regular expressions ('/</g').
_ENDS_SCRIPT = re.compile(r"<(/script|!--)", re.IGNORECASE)

# Marks a copy as complete.
_END = "\n/* end of the chart library */\n"


def _cache_directory() -> Path:
    from platformdirs import user_cache_path

    return user_cache_path("proveout")


def _make() -> str:
    import vl_convert

    return vl_convert.javascript_bundle()


def _keep(path: Path, text: str) -> None:
    """Write under another name and move into place: a run beside this one never reads half a file."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, suffix=".part")
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
        Path(name).replace(path)
    except OSError:
        Path(name).unlink(missing_ok=True)
        raise
