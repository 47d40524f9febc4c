"""The picture by which a page made by --watch learns that another run has taken its place (see static/watch.js)."""

from pathlib import Path

STAMP = "watched.svg"
HIGHEST = 9_999
"""Runs are told apart by a number from 1 to this."""


def write_stamp(folder: Path, run: int) -> None:
    """Write the picture, as wide as the number of the run."""
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" width="{run}" height="1"/>\n'
    (folder / STAMP).write_text(svg, encoding="utf-8", newline="\n")
