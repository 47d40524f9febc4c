"""Draws charts in a process of its own, beside the run.

The drawing library takes a third of a second to start, 60 ms a chart, and holds Python still meanwhile. So it starts in
another process while the run still counts, and draws there while the tables are written.
`python -m pipeline.report.drawing` is that process: one JSON document in, one out.
"""

import json
import subprocess
import sys
from collections.abc import Iterable, Mapping
from contextlib import suppress
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
    _write(drawn(orders))


def drawn(orders: Iterable[Order]) -> dict[str, str]:
    """The SVG of each chart, by its path."""
    import vl_convert

    return {
        one.path: vl_convert.vegalite_to_svg(one.specification, config=one.configuration) for one in orders
    }


def _write(charts: Mapping[str, str]) -> None:
    for path, svg in charts.items():
        Path(path).write_text(svg, encoding="utf-8", newline="\n")


class Drawing:
    """The process, as a context manager: leaving it waits for the charts and writes them, or stops it after an error.

    The process touches no file, and an interrupt from the keyboard does not reach it: both are left to the run.
    """

    def __enter__(self) -> Self:
        command, pipe = [sys.executable, "-m", __name__], subprocess.PIPE
        self._process = subprocess.Popen(command, stdin=pipe, stdout=pipe, cwd=_HOME, start_new_session=True)
        self._busy = False
        return self

    def draw(self, orders: Iterable[Order]) -> None:
        """Hand the charts over, once, and go on. Their paths must be absolute."""
        orders_pipe = self._process.stdin
        assert orders_pipe is not None  # `__enter__` asks for it
        orders_pipe.write(json.dumps([asdict(order) for order in orders]).encode())
        orders_pipe.close()
        self._busy = True

    def __exit__(self, kind: type[BaseException] | None, *_: object) -> None:
        with self._process as process:  # waits, and closes the pipes
            if kind is not None or not self._busy:
                process.kill()
                return
            assert process.stdout is not None  # `__enter__` asks for it
            svg = process.stdout.read()
        if process.returncode:
            raise RuntimeError("the charts could not be drawn; the drawing process says why above")
        _write(json.loads(svg))


def main() -> None:
    """Warm up, wait for the orders, draw them. Nothing to read: the run has ended without charts."""
    import vl_convert

    vl_convert.vegalite_to_svg({"data": {"values": []}, "mark": "point"})
    if orders := sys.stdin.buffer.read():
        svg = drawn(Order(**order) for order in json.loads(orders))
        with suppress(BrokenPipeError):  # the run was killed, and nobody waits
            sys.stdout.write(json.dumps(svg))
            sys.stdout.flush()


if __name__ == "__main__":
    main()
