"""The charts of one page: each kind's specification once, each chart's own words and rows beside it.

Three hundred pairings draw the same chart of other rows. Altair builds the first; the others hand their rows to its
specification, which the reader's browser draws when the chart comes into view.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib.metadata import version
from pathlib import Path
from types import ModuleType
from typing import Any

import pandas as pd

import charts
from charts.theme import Heading, config, values
from pipeline.report.grid import Name
from pipeline.report.kept import kept, sources
from pipeline.report.readable import readable


@dataclass(frozen=True)
class Picture:
    """One chart to be drawn: a module of charts/ and the tables its functions take."""

    module: ModuleType
    tables: tuple[pd.DataFrame, ...]

    @property
    def kind(self) -> str:
        """The module's name, which is its drawing function's too."""
        return self.module.__name__.rpartition(".")[2]

    @property
    def behind(self) -> Name | None:
        """The records it is drawn from, as `Records.of` takes them; None where its rows are of many."""
        topic, field = _BEHIND.get(self.kind, ("", ""))
        if not topic or self.tables[0].empty:
            return None
        book, species, name = (self.tables[0][column].iat[0] for column in ("book", "species", field))
        return topic, book, species, name

    @property
    def book(self) -> str:
        """The book its rows are of; '' where it has none."""
        rows = self.tables[0]
        return readable(str(rows["book"].iat[0])) if len(rows) and "book" in rows else ""

    @property
    def heading(self) -> Heading:
        """Its words and its height."""
        said = self.module.heading(*self.tables)
        return replace(
            said, **{name: readable(getattr(said, name)) for name in ("title", "subtitle", "description")}
        )

    @property
    def data(self) -> Mapping[str, pd.DataFrame]:
        """The rows it draws, by the name its layers know them by."""
        return {name: _readable(frame) for name, frame in self.module.data(*self.tables).items()}

    def specification(self) -> dict[str, Any]:
        """What all charts of this kind have in common: everything but words, height and rows. Not to be changed.

        Altair takes its time, and more of it the more rows a chart has, so a kind is drawn without rows, and kept.
        """
        if self.module not in _SPECIFICATIONS:
            spec = json.loads(kept(f"{self.kind}.json", _drawn_by(), self._drawn))
            _SPECIFICATIONS[self.module] = {key: value for key, value in spec.items() if key not in _OWN}
        return _SPECIFICATIONS[self.module]

    def _drawn(self) -> bytes:
        """The chart without rows as JSON; unchecked, since the tests check it against the schema."""
        from altair.utils.schemapi import debug_mode

        with debug_mode(False):
            chart = getattr(self.module, self.kind)(*(table.iloc[:0] for table in self.tables))
            return json.dumps(chart.to_dict(validate=False)).encode()


_BEHIND = {
    "ratio_bars": ("pairing", "pairing"),
    "carrier_curve": ("animal", "animal"),
    "growth": ("animal", "animal"),
    "price_trend": ("price", "morph"),
    "gene_premiums": ("market", "currency"),
    "route": ("goal", "goal"),
}
"""The topic of what each kind of chart is drawn from, and the column of its first table that names it."""
_OWN = {"title", "description", "height", "datasets", "config"}
_SPECIFICATIONS: dict[ModuleType, dict[str, Any]] = {}


@cache
def _drawn_by() -> str:
    """What a specification depends on: the chart modules as they stand, and the version of Altair."""
    modules = sorted(Path(charts.__file__).parent.glob("*.py"))
    return f"{version('altair')} {sources(modules)}"


class Figures:
    """Collects pictures while the page is written; `payload` is what the page's script draws them from.

    With `several_books` the title of each names its book.
    """

    def __init__(self, several_books: bool = False) -> None:
        self._several_books = several_books
        self._specs: dict[str, dict[str, Any]] = {}
        self._charts: list[dict[str, Any]] = []
        self.headings: list[Heading] = []
        self.behind: list[Name | None] = []

    def add(self, picture: Picture) -> int:
        """The number of the picture on this page."""
        if picture.kind not in self._specs:
            self._specs[picture.kind] = picture.specification()
        heading = picture.heading
        if self._several_books and (book := picture.book):
            heading = replace(heading, title=f"{heading.title} · {book}")
        self._charts.append({
            "kind": picture.kind,
            "words": [heading.title, heading.subtitle, heading.description],
            "height": heading.height,
            "data": {name: _packed(frame) for name, frame in picture.data.items()},
        })  # fmt: skip
        self.headings.append(heading)
        self.behind.append(picture.behind)
        return len(self._charts) - 1

    def payload(self) -> str:
        """JSON for a script element: specifications, charts, and the light and dark configuration."""
        light, dark = config(), config(dark=True)
        return script_safe({"specs": self._specs, "charts": self._charts, "light": light, "dark": dark})


def script_safe(value: object) -> str:
    """JSON in which no text can end the script element that holds it."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False, default=str)
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


def _readable(frame: pd.DataFrame) -> pd.DataFrame:
    """The rows with no text that would blow up the drawing."""
    texts = {
        name: column for name, column in frame.items() if not pd.api.types.is_numeric_dtype(column.dtype)
    }
    odd: dict[str, dict[str, str]] = {}
    for name, column in texts.items():
        said = {one for one in column.tolist() if isinstance(one, str)}
        odd[name] = {one: told for one in said if (told := readable(one)) != one}
    changed = {name: texts[name].map(lambda one, of=of: of.get(one, one)) for name, of in odd.items() if of}
    return frame.assign(**changed) if changed else frame


def _packed(frame: pd.DataFrame) -> dict[str, Any]:
    """Rows without their repeated names."""
    return {"columns": list(frame.columns), "rows": values(frame)}
