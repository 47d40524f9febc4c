"""Cell styles for marks: the style that a cell has, with another ground and black letters."""

from xml.dom.minidom import Document, Element

from pipeline.problems import Severity
from pipeline.workbook.parts import root_of
from pipeline.workbook.styles import MARKS


class MarkStyles:
    """The styles part of a workbook; new styles are put behind those that are there, which stay as they are."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self._made: dict[tuple[int, Severity], int] = {}
        self._fills: dict[Severity, int] = {}
        self._cells = _child(root_of(document), "cellXfs")

    def marked(self, style: int, severity: Severity) -> int:
        """The number of a style like that one, on the ground of that severity."""
        key = (style, severity)
        if key not in self._made:
            old = _children(self._cells)[style]
            new = _copy(old)
            for name, number in (
                ("fill", self._fill(severity)),
                ("font", self._black(int(old.getAttribute("fontId") or 0))),
            ):
                new.setAttribute(f"{name}Id", str(number))
                new.setAttribute(f"apply{name.capitalize()}", "1")
            self._made[key] = _append(self._cells, new)
        return self._made[key]

    def _fill(self, severity: Severity) -> int:
        if severity not in self._fills:
            fills = _child(root_of(self.document), "fills")
            fill, pattern, ground = (self._like(fills, name) for name in ("fill", "patternFill", "fgColor"))
            pattern.setAttribute("patternType", "solid")
            ground.setAttribute("rgb", MARKS[severity].fgColor.rgb)
            pattern.appendChild(ground)
            fill.appendChild(pattern)
            self._fills[severity] = _append(fills, fill)
        return self._fills[severity]

    def _black(self, font: int) -> int:
        """The font with black letters: white ones could not be read on a mark's ground."""
        fonts = _child(root_of(self.document), "fonts")
        new = _copy(_children(fonts)[font])
        black = self._like(fonts, "color")
        black.setAttribute("rgb", "FF000000")
        parts = {_local(one): one for one in _children(new)}
        if "color" in parts:
            new.replaceChild(black, parts["color"])
        else:
            after = [one for name, one in parts.items() if name in _BEHIND_COLOUR]
            new.insertBefore(black, after[0] if after else None)
        return _append(fonts, new)

    def _like(self, other: Element, name: str) -> Element:
        """A new element with the prefix of another."""
        return self.document.createElement(other.tagName.replace(_local(other), name))


_BEHIND_COLOUR = ("name", "family", "charset", "scheme")


def _append(group: Element, one: Element) -> int:
    number = len(_children(group))
    group.appendChild(one)
    group.setAttribute("count", str(number + 1))
    return number


def _copy(one: Element) -> Element:
    new = one.cloneNode(deep=True)
    assert new is not None  # of all nodes only a document and its type have no copy
    return new


def _children(group: Element) -> list[Element]:
    return [one for one in group.childNodes if isinstance(one, Element)]


def _child(group: Element, name: str) -> Element:
    return next(one for one in _children(group) if _local(one) == name)


def _local(one: Element) -> str:
    return one.tagName.rpartition(":")[2]
