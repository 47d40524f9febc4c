"""The charts of one page: each specification once, each chart's own words and rows beside it.

Three hundred pairings draw the same chart of other rows. Altair builds the first; the others hand their rows to its
specification, which the reader's browser draws when the chart comes into view.
"""

import json
from collections.abc import Callable, Sequence
from typing import Any

import altair as alt
import pandas as pd

from charts.theme import Heading, config


class Figures:
    """Collects charts while the page is written; `payload` is what the page's script draws them from."""

    def __init__(self) -> None:
        self._specs: dict[str, int] = {}
        self._drawn: dict[Callable[..., Any], tuple[int, Sequence[str]]] = {}
        self._charts: list[dict[str, Any]] = []
        self.headings: list[Heading] = []

    def add(
        self,
        draw: Callable[[pd.DataFrame], alt.TopLevelMixin],
        heading: Callable[[pd.DataFrame], Heading],
        table: pd.DataFrame,
    ) -> int:
        """The number of the chart that `draw(table)` makes; all tables of one `draw` share its specification."""
        if draw not in self._drawn:
            spec, data, _ = _taken_apart(draw(table))
            (name,) = data
            self._drawn[draw] = (self._spec(spec), data[name]["columns"])
        index, columns = self._drawn[draw]
        return self._append(index, {_NAME.format(0): _packed(table, columns)}, heading(table))

    def add_chart(self, chart: alt.TopLevelMixin) -> int:
        """The number of a chart drawn already; charts that differ in rows and words alone share a specification."""
        spec, data, heading = _taken_apart(chart)
        return self._append(self._spec(spec), data, heading)

    def _spec(self, spec: str) -> int:
        return self._specs.setdefault(spec, len(self._specs))

    def _append(self, spec: int, data: dict[str, Any], heading: Heading) -> int:
        words = [heading.title, heading.subtitle, heading.description]
        self._charts.append({"spec": spec, "words": words, "height": heading.height, "data": data})
        self.headings.append(heading)
        return len(self._charts) - 1

    def payload(self) -> str:
        """JSON for a script element: specifications, charts, and the light and dark configuration."""
        charts, light, dark = (_json(part) for part in (self._charts, config(), config(dark=True)))
        text = f'{{"specs":[{",".join(self._specs)}],"charts":{charts},"light":{light},"dark":{dark}}}'
        return script_safe(text)


def script_safe(text: str) -> str:
    """JSON in which no text can end the script element that holds it."""
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


_NAME = "rows-{}"


def _taken_apart(chart: alt.TopLevelMixin) -> tuple[str, dict[str, Any], Heading]:
    """A chart's specification without data and words, its data by name, and its words."""
    spec = chart.to_dict(validate=False)
    title = spec.pop("title", {})
    for key in ("config", "$schema"):
        spec.pop(key, None)
    subtitle = title.get("subtitle", "")
    words = Heading(
        title.get("text", ""),
        subtitle if isinstance(subtitle, str) else " ".join(subtitle),
        spec.pop("description", ""),
        spec.pop("height", 240),
    )
    datasets = spec.pop("datasets", {})
    text = _json(spec)
    data = {}
    for number, name in enumerate(sorted(datasets, key=text.find)):
        text = text.replace(name, _NAME.format(number))
        rows = datasets[name]
        columns = list(rows[0]) if rows else []
        values = [[row[column] for column in columns] for row in rows]
        data[_NAME.format(number)] = {"columns": columns, "rows": values}
    return text, data, words


def _packed(table: pd.DataFrame, columns: Sequence[str]) -> dict[str, Any]:
    """Rows without their repeated keys; missing values become null, dates ISO text."""
    series = (table[column] for column in columns)
    values = [[None if value != value else value for value in one.tolist()] for one in series]
    return {"columns": list(columns), "rows": [list(row) for row in zip(*values, strict=True)]}


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False, default=str)
