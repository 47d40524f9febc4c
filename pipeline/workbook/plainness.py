"""Whether a sheet is written so plainly that a fast reader surely reads it like a thorough one.

Most books are. What makes the two differ is rare and easily seen in the bytes: error cells, dates written as text,
escaped characters, formatted stretches within a text, comments, cells that don't say where they stand. And a fast
reader lays a sheet out as a full rectangle, so a single cell far out must not be able to make it a huge one.
"""

import re
from xml.parsers.expat import ExpatError, ParserCreate

_CELL = rb'<c(?=[\s/>])(?! r="%b")'
_OUTSIDE = (
    re.compile(_CELL % rb"[A-Z](?:\d{1,5}|[1-3]\d{5})"),
    re.compile(_CELL % rb"[A-Z]{1,2}\d{1,4}"),
)
"""A cell outside 26 columns by 399,999 rows, and one outside 702 columns by 9,999: about ten million cells at most."""
_ODD = (b't="e"', b't="d"', b"='", b"<!", b"<r>")
_ESCAPED = re.compile(rb"_x[0-9A-Fa-f]{4}_")
_RAGGED = re.compile(rb"<t>(?:\s|[^<]*\s</t>)")
_OTHER_ENCODING = re.compile(rb"""encoding=["'](?!utf-8["'])""", re.IGNORECASE)
_HEAD = 4096


def plain_sheet(xml: bytes) -> bool:
    """Whether a worksheet's XML is plain."""
    start, stop = xml.find(b"<sheetData"), xml.find(b"</sheetData>")
    if not 0 <= start < stop or not _plain_head(xml, b"<worksheet"):
        return False
    odd = any(xml.find(mark, start, stop) >= 0 for mark in _ODD) or b"<!" in xml[:start] or _escapes(xml)
    near = any(not far.search(xml, start, stop) for far in _OUTSIDE)
    return not odd and near and _well_formed(xml)


def plain_texts(xml: bytes) -> bool:
    """Whether the XML of the texts that a book's sheets share is plain."""
    ragged = b"<r>" in xml and _RAGGED.search(xml)
    odd = b"<!" in xml or ragged or _escapes(xml)
    return _plain_head(xml, b"<sst") and not odd and _well_formed(xml)


def _plain_head(xml: bytes, tag: bytes) -> bool:
    """The tag without a prefix, in UTF-8."""
    head = xml[:_HEAD]
    return tag in head and not _OTHER_ENCODING.search(head)


def _escapes(xml: bytes) -> bool:
    return b"_x" in xml and _ESCAPED.search(xml) is not None


def _well_formed(xml: bytes) -> bool:
    """The fast reader passes over broken XML, and rows with it."""
    try:
        ParserCreate(namespace_separator=" ").Parse(xml, True)
    except ExpatError:
        return False
    return True
