"""Draws charts in a process of its own, beside the run.

The drawing library takes a third of a second to start, 60 ms a chart, and holds Python still meanwhile. So it starts in
another process while the run still counts, and draws there while the tables are written.
`python -m pipeline.report.drawing` is that process: one JSON document in, files out.
"""

import json
import subprocess
import sys
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any, Self

_HOME = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Order:
    """A chart to draw: a Vega-Lite specification with its data, the configuration, and the SVG file to write."""

    path: str
    specification: dict[str, Any]
    configuration: dict[str, Any]


def draw(orders: Iterable[Order]) -> None:
    """Draw each chart to its file, here and now."""
    import vl_convert

    for order in orders:
        svg = vl_convert.vegalite_to_svg(order.specification, config=order.configuration)
        Path(order.path).write_text(svg, encoding="utf-8", newline="\n")


class Drawing:
    """The process, as a context manager: leaving it waits until every chart is written, or stops it after an error."""

    def __enter__(self) -> Self:
        command = [sys.executable, "-m", __name__]
        self._process = subprocess.Popen(command, stdin=subprocess.PIPE, cwd=_HOME)
        self._busy = False
        return self

    def draw(self, orders: Iterable[Order]) -> None:
        """Hand the charts over, once, and go on. Their paths must be absolute."""
        self._process.stdin.write(json.dumps([asdict(order) for order in orders]).encode())
        self._process.stdin.close()
        self._busy = True

    def __exit__(self, kind: type[BaseException] | None, *_: object) -> None:
        waiting = self._busy and kind is None
        if not waiting:
            self._process.kill()
            self._process.stdin.close()
        if self._process.wait() and waiting:
            raise RuntimeError("the charts could not be drawn; the drawing process says why above")


def main() -> None:
    """Warm up, wait for the orders, draw them. Nothing to read: the run has ended without charts."""
    import vl_convert

    vl_convert.vegalite_to_svg({"data": {"values": []}, "mark": "point"})
    if orders := sys.stdin.buffer.read():
        draw(Order(**order) for order in json.loads(orders))


if __name__ == "__main__":
    main()
