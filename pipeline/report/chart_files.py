"""Charts as SVG files, for whoever wants one in a letter or a talk."""

import re
from collections import Counter
from collections.abc import Collection, Mapping
from pathlib import Path
from typing import Any

from charts.theme import config, records
from pipeline.report.drawing import Drawing, Order, draw
from pipeline.report.figures import Picture

FILES_OF_A_KIND = 3
"""Files of each kind at most: one takes 60 to 100 ms, more than all else that the report does for it."""
_WIDTH = 640


def write_charts(
    pictures: Mapping[str, Picture],
    directory: Path,
    *,
    most: int = FILES_OF_A_KIND,
    drawing: Drawing | None = None,
) -> list[Path]:
    """Write the first `most` pictures of each kind as SVG, named after their keys: 'growth/A12' is growth-A12.svg.

    The directory is made. Names that differ only in what a file system can't hold get a number. Returns the paths;
    with a `drawing` the files are there when that has ended.
    """
    directory.mkdir(parents=True, exist_ok=True)
    light = config()
    paper = {**light, "background": "white", "title": {**light["title"], "limit": _WIDTH}}
    orders: dict[str, Order] = {}
    written: Counter[str] = Counter()
    for key, picture in pictures.items():
        written[picture.kind] += 1
        if written[picture.kind] > most:
            continue
        path = directory.resolve() / f"{_free(_safe(key), orders)}.svg"
        orders[path.stem.lower()] = Order(str(path), _filled(picture), paper)
    (drawing.draw if drawing else draw)(orders.values())
    return [directory / Path(order.path).name for order in orders.values()]


def _filled(picture: Picture) -> dict[str, Any]:
    """The picture's specification with its words and rows, at a fixed width."""
    heading = picture.heading
    return {
        **picture.specification(),
        "title": {"text": heading.title, "subtitle": heading.subtitle},
        "description": heading.description,
        "height": heading.height,
        "width": _WIDTH,
        "datasets": {name: records(frame) for name, frame in picture.data.items()},
    }


def _safe(key: str) -> str:
    """Letters, digits, dots and dashes, at most 80 of them."""
    return re.sub(r"[^\w.-]+|_", "-", key).strip("-.")[:80] or "chart"


def _free(name: str, taken: Collection[str]) -> str:
    """The name, with a number where another chart has it; some file systems ignore case."""
    free, number = name, 1
    while free.lower() in taken:
        number += 1
        free = f"{name}-{number}"
    return free
