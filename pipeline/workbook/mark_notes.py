"""Cell notes put into a workbook's own parts: the words in one, the boxes they are shown in in another."""

import re
from collections.abc import Mapping
from xml.dom.minidom import Document, Element

from defusedxml.minidom import parseString
from openpyxl.utils import get_column_letter

from pipeline.workbook.notes import AUTHOR, WIDTH, extended_text, height
from pipeline.workbook.parts import root_of
from pipeline.workbook.splicing import Cell, cell_of

EMPTY_NOTES = b'<comments xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><authors/><commentList/></comments>'
EMPTY_BOXES = (
    b'<xml xmlns:v="urn:schemas-microsoft-com:vml" xmlns:o="urn:schemas-microsoft-com:office:office"'
    b' xmlns:x="urn:schemas-microsoft-com:office:excel"></xml>'
)
_KIND = (
    '<v:shapetype id="_x0000_t202" coordsize="21600,21600" o:spt="202" path="m,l,21600r21600,l21600,xe">'
    '<v:stroke joinstyle="miter"/><v:path gradientshapeok="t" o:connecttype="rect"/></v:shapetype>'
)
_BOX = (
    '<v:shape id="_x0000_s{number:04d}" type="#_x0000_t202" style="position:absolute; margin-left:59.25pt;margin-top:1.5pt;'
    'width:{width}px;height:{height}px;z-index:1;visibility:hidden" fillcolor="#ffffe1" o:insetmode="auto">'
    '<v:fill color2="#ffffe1"/><v:shadow color="black" obscured="t"/><v:path o:connecttype="none"/>'
    '<v:textbox style="mso-direction-alt:auto"><div style="text-align:left"/></v:textbox>'
    '<x:ClientData ObjectType="Note"><x:MoveWithCells/><x:SizeWithCells/><x:AutoFill>False</x:AutoFill>'
    "<x:Row>{row}</x:Row><x:Column>{column}</x:Column></x:ClientData></v:shape>"
)
_SHAPE = re.compile(rb"<v:shape\s.*?</v:shape>", re.DOTALL)


def with_notes(notes: bytes, texts: Mapping[Cell, list[str]]) -> tuple[bytes, dict[Cell, str]]:
    """The notes part with these texts, each below what its cell's note says already; and the whole text of each changed note."""
    document = parseString(notes)
    authors, listed = (_named(document, name) for name in ("authors", "commentList"))
    there = {cell_of(one.getAttribute("ref")): one for one in _elements(listed)}
    whole: dict[Cell, str] = {}
    for cell, added in texts.items():
        one = there.get(cell)
        if one is None:
            one = _new_note(document, listed, cell, _author(document, authors))
        old = said = _text(one)
        for text in added:
            said = extended_text(said, text)
        if said != old:
            _add_run(document, one, said[len(old) :])
            whole[cell] = said
    return document.toxml(encoding="utf-8"), whole


def with_boxes(boxes: bytes, texts: Mapping[Cell, str]) -> bytes:
    """The boxes part with a box for each of these notes, as high as its text needs, in place of one that is there."""
    for (row, column), text in texts.items():
        numbers = [int(number) for number in re.findall(rb"_x0000_s(\d+)", boxes)]
        box = _BOX.format(
            number=max(numbers, default=0) + 1,
            width=WIDTH,
            height=height(text),
            row=row - 1,
            column=column - 1,
        ).encode()
        old = _box_of(boxes, row - 1, column - 1)
        if old is not None:
            boxes = boxes.replace(old, box)
        else:
            kind = b"" if b'id="_x0000_t202"' in boxes else _KIND.encode()
            end = boxes.rindex(b"</")
            boxes = boxes[:end] + kind + box + boxes[end:]
    return boxes


def _box_of(boxes: bytes, row: int, column: int) -> bytes | None:
    where = (rb"<x:Row>\s*%d\s*</x:Row>" % row, rb"<x:Column>\s*%d\s*</x:Column>" % column)
    return next((one for one in _SHAPE.findall(boxes) if all(re.search(part, one) for part in where)), None)


def _new_note(document: Document, listed: Element, cell: Cell, author: int) -> Element:
    row, column = cell
    one = _like(document, listed, "commentList", "comment")
    one.setAttribute("ref", f"{get_column_letter(column)}{row}")
    one.setAttribute("authorId", str(author))
    one.appendChild(_like(document, listed, "commentList", "text"))
    listed.appendChild(one)
    return one


def _author(document: Document, authors: Element) -> int:
    """The number of our name among the authors, put there where it is missing."""
    names = [_said(one) for one in _elements(authors)]
    if AUTHOR not in names:
        one = _like(document, authors, "authors", "author")
        one.appendChild(document.createTextNode(AUTHOR))
        authors.appendChild(one)
        names.append(AUTHOR)
    return names.index(AUTHOR)


def _add_run(document: Document, note: Element, words: str) -> None:
    """Put words behind the note's; a text without runs becomes its first run, since text behind runs is not allowed."""
    text = next(one for one in _elements(note) if _local(one) == "text")
    bare = [one for one in _elements(text) if _local(one) == "t"]
    for one in bare:
        run = _like(document, text, "text", "r")
        text.replaceChild(run, one)
        run.appendChild(one)
    run, said = _like(document, text, "text", "r"), _like(document, text, "text", "t")
    said.setAttribute("xml:space", "preserve")
    said.appendChild(document.createTextNode(words))
    run.appendChild(said)
    behind = [one for one in _elements(text) if _local(one) in ("rPh", "phoneticPr")]
    text.insertBefore(run, behind[0] if behind else None)


def _text(note: Element) -> str:
    return "".join(_said(one) for one in note.getElementsByTagName("*") if _local(one) == "t")


def _said(one: Element) -> str:
    return "".join(node.data for node in one.childNodes if node.nodeType == node.TEXT_NODE)


def _named(document: Document, name: str) -> Element:
    return next(one for one in _elements(root_of(document)) if _local(one) == name)


def _like(document: Document, other: Element, name: str, new: str) -> Element:
    """A new element with the prefix of another, whose own name is `name`."""
    return document.createElement(other.tagName.removesuffix(name) + new)


def _elements(group: Element) -> list[Element]:
    return [one for one in group.childNodes if isinstance(one, Element)]


def _local(one: Element) -> str:
    return one.tagName.rpartition(":")[2]
