"""The chart library as one piece of JavaScript, inlined into the page so that it opens without a network.

Making it takes over a second, so a copy is kept for the version of the library.
"""

import re
from collections.abc import Callable
from importlib.metadata import version
from pathlib import Path

from pipeline.report.kept import kept


def chart_bundle(cache: Path | None = None, make: Callable[[], str] | None = None) -> str:
    """JavaScript that sets `window.vegaEmbed`, for a module script of its own; nothing in it ends that element.

    `cache` is the directory of the kept copy (None: the user's cache directory), `make` what makes the library anew.
    """

    def safe() -> bytes:
        return _ENDS_SCRIPT.sub(r"<\\\1", (make or _make)()).encode()

    return kept("charts.js", version("vl-convert-python"), safe, cache).decode()


# Only these can end or upset a script element; a bare '</' stays, for it also ends regular expressions ('/</g').
_ENDS_SCRIPT = re.compile(r"<(/script|!--)", re.IGNORECASE)


def _make() -> str:
    import vl_convert

    return vl_convert.javascript_bundle()  # type: ignore[call-arg]  # its stub takes the snippet for required
