"""Charts as SVG files, for whoever wants one in a letter or a talk."""

import re
from collections import Counter
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import altair as alt

from charts.theme import config, records
from pipeline.report.figures import Picture

FILES_OF_A_KIND = 4
"""Files of each kind at most: one takes 60 to 100 ms, more than all else that the report does for it."""
_WIDTH = 640


def write_charts(
    pictures: Mapping[str, Picture], directory: Path, *, most: int = FILES_OF_A_KIND
) -> list[Path]:
    """Write the first `most` pictures of each kind as SVG, named after their keys: 'growth/A12' is growth-A12.svg.

    The directory is made. Names that differ only in what a file system can't hold get a number. Returns the paths.
    """
    import vl_convert

    directory.mkdir(parents=True, exist_ok=True)
    paper = {**config(), "background": "white"}
    specs: dict[str, dict[str, Any]] = {}
    paths: dict[str, Path] = {}
    written = Counter()
    for key, picture in pictures.items():
        written[picture.kind] += 1
        if written[picture.kind] > most:
            continue
        if picture.kind not in specs:
            specs[picture.kind] = picture.specification()
        svg = vl_convert.vegalite_to_svg(_filled(specs[picture.kind], picture), config=paper)
        path = directory / f"{_free(_safe(key), paths)}.svg"
        path.write_text(svg, encoding="utf-8", newline="\n")
        paths[path.stem.lower()] = path
    return list(paths.values())


def _filled(spec: Mapping[str, Any], picture: Picture) -> dict[str, Any]:
    """The specification with the picture's words and rows, at a fixed width."""
    heading = picture.heading
    return {
        "$schema": alt.SCHEMA_URL,
        **spec,
        "title": {"text": heading.title, "subtitle": heading.subtitle},
        "description": heading.description,
        "height": heading.height,
        "width": _WIDTH,
        "datasets": {name: records(frame) for name, frame in picture.data.items()},
    }


def _safe(key: str) -> str:
    """Letters, digits, dots and dashes, at most 80 of them."""
    return re.sub(r"[^\w.-]+|_", "-", key).strip("-.")[:80] or "chart"


def _free(name: str, taken: Mapping[str, Path]) -> str:
    """The name, with a number where another chart has it; some file systems ignore case."""
    free, number = name, 1
    while free.lower() in taken:
        number += 1
        free = f"{name}-{number}"
    return free
