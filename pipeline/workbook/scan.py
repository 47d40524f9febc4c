"""A quick look through a sheet's XML for what a row-by-row reader does not tell.

Where the records end (sheets are often formatted down to row 1,048,576), which cells hold formulas and which of those
no stored value, which show a percentage, what is merged, how many rows are hidden. The XML is searched as bytes,
about a megabyte at a time, and its cells are only walked where a formula or a percentage is about.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import IO

CHUNK = 1 << 20
LONGEST_ROW = 4 << 20
"""Bytes of one row at most, and so how deep tags can lie in one another."""
TAIL = 16 << 20
"""Bytes of what follows the rows at most."""
_ROW = re.compile(rb"<row[\s/>]")
_ROW_NUMBER = re.compile(rb"""<row\s(?:[^<>]*?\s)?r=["'](\d+)["']""")
_HIDDEN = re.compile(rb"""<row\s[^<>]*?hidden=["'](?:1|true)["']""")
_ROW_OR_CELL = re.compile(
    rb"<(row)(\s[^<>]*|/?)>|<c(\s[^<>]*?)?(?:/>|>([^<]*+(?:<(?!/?c[\s/>])[^<]*+)*+)</c>)"
)
"""No pattern here looks past the tag or the cell it begins in, so that the time grows with the size, whatever is written."""
_REFERENCE = re.compile(rb"""\sr=["']([A-Z]+)(\d+)["']""")
_NUMBER = re.compile(rb"""\sr=["'](\d+)["']""")
_STYLE = re.compile(rb"""\ss=["'](\d+)["']""")
_STORED = re.compile(rb"<v[^>/]*>[^<]")
_TEXT_RESULT = re.compile(rb"""\st=["']str["']""")
_MERGE = re.compile(rb"""<mergeCell\s[^<>]*?ref=["']([A-Z]+)(\d+):([A-Z]+)(\d+)["']""")
_PREFIX = re.compile(rb"<(\w+:)worksheet\b")
_WHOLE_ROW = re.compile(rb"<row(?:\s[^<>]*+)?(?<=/)>|<row/>|</row>")
_COMMENT = re.compile(rb"<!--.*?-->|<!\[CDATA\[.*?\]\]>", re.DOTALL)
_OPENING = re.compile(rb"<[^/!?]")
_CLOSED = re.compile(rb"<[^/!?<>][^<>]*+(?<=/)>|</")
DEEPEST = 10_000

Position = tuple[int, int]
"""Row and column, both from 1."""


@dataclass(frozen=True)
class Merge:
    """A merged range, corners included, rows and columns from 1."""

    top: int
    left: int
    bottom: int
    right: int


@dataclass
class Scan:
    """What stands where in one sheet. `last_row` is 0 for a sheet without content."""

    last_row: int = 0
    formulas: set[Position] = field(default_factory=set)
    unstored: set[Position] = field(default_factory=set)
    percentages: set[Position] = field(default_factory=set)
    merges: list[Merge] = field(default_factory=list)
    hidden_rows: int = 0


def scan_sheet(stream: IO[bytes], percent_styles: frozenset[int] = frozenset()) -> Scan:
    """Look through the XML of one sheet. ValueError where it breaks off or a row is too long to be one.

    Rows are numbered as the file numbers them, or counted where it does not number them at all.
    """
    scan = Scan()
    styles = {b"%d" % style for style in percent_styles}
    counted = hidden = 0
    for block in map(_balanced, _blocks(stream, scan)):
        last = max(block.rfind(b"</v>"), block.rfind(b"</is>"))
        if last >= 0:
            scan.last_row = _row_at(block, last, counted)
        if b"hidden=" in block:
            before = len(_HIDDEN.findall(block[: max(last, 0)]))
            scan.hidden_rows += hidden + before if last >= 0 else 0
            hidden = len(_HIDDEN.findall(block)) - before + (hidden if last < 0 else 0)
        if b"<f" in block or (styles and _shows(block, styles)):
            _walk(block, counted, styles, scan)
        counted = _row_at(block, len(block), counted)
    return scan


def _blocks(stream: IO[bytes], scan: Scan) -> Iterator[bytes]:
    """Whole rows, in blocks; what follows the rows is searched for merged ranges and not handed out."""
    rest = stream.read(CHUNK)
    prefix = tag_prefix(rest)
    if rest.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise ValueError("the sheet is not written in UTF-8")
    row, end = b"<" + prefix + b"row", b"</" + prefix + b"sheetData>"
    while rest:
        stop = rest.find(end)
        if stop >= 0:
            yield _plain(rest[:stop], prefix)
            scan.merges = _merges(_plain(rest[stop:] + stream.read(TAIL), prefix))
            if stream.read(1):
                raise ValueError("what follows the rows of the sheet does not end")
            return
        cut = rest.rfind(row)
        if cut > 0:
            yield _plain(rest[:cut], prefix)
            rest = rest[cut:]
        if len(rest) > LONGEST_ROW:
            raise ValueError("a row of the sheet does not end")
        chunk = stream.read(CHUNK)
        if not chunk:
            if _ROW.search(_plain(rest, prefix)) or b"</" + prefix + b"worksheet>" not in rest:
                raise ValueError("the sheet breaks off")
            return
        rest += chunk


def _balanced(block: bytes) -> bytes:
    """The block itself; ValueError where its rows lie in one another: a reader would hold them all."""
    told = _COMMENT.sub(b"", block) if b"<!" in block else block
    if len(_ROW.findall(told)) != len(_WHOLE_ROW.findall(told)):
        raise ValueError("the rows of the sheet lie in one another")
    return block


def too_deep(xml: bytes) -> bool:
    """Whether tags lie in one another deeper than any workbook's, counted at every megabyte."""
    told, depth = _COMMENT.sub(b"", xml) if b"<!" in xml else xml, 0
    for start in range(0, len(told), CHUNK):
        piece = told[start : start + CHUNK]
        depth += len(_OPENING.findall(piece)) - len(_CLOSED.findall(piece))
        if depth > DEEPEST:
            return True
    return False


def tag_prefix(head: bytes) -> bytes:
    """The namespace prefix with its colon that the sheet's tags carry; mostly none."""
    found = _PREFIX.search(head[:4096])
    return found[1] if found else b""


def _plain(xml: bytes, prefix: bytes) -> bytes:
    """The XML without the namespace prefix that some programs write before every tag."""
    return xml.replace(b"<" + prefix, b"<").replace(b"</" + prefix, b"</") if prefix else xml


def _row_at(block: bytes, place: int, counted: int) -> int:
    """The number of the row that holds that place of the block; `counted` rows went before the block."""
    start = block.rfind(b"<row", 0, place)
    if start < 0:
        return counted
    numbered = _ROW_NUMBER.match(block, start)
    return int(numbered[1]) if numbered else counted + block.count(b"<row", 0, place)


def _shows(block: bytes, styles: set[bytes]) -> bool:
    return any(b's="' + style + b'"' in block or b"s='" + style + b"'" in block for style in styles)


def _walk(block: bytes, row: int, styles: set[bytes], scan: Scan) -> None:
    """Note every formula and percentage of the block."""
    column = 0
    for match in _ROW_OR_CELL.finditer(block):
        if match[1]:
            number = _NUMBER.search(match[2])
            row, column = int(number[1]) if number else row + 1, 0
            continue
        attributes, body = match[3] or b"", match[4] or b""
        reference = _REFERENCE.search(attributes)
        column = _column(reference[1]) if reference else column + 1
        if b"<f" in body:
            scan.formulas.add((row, column))
            if not _STORED.search(body) and not (_TEXT_RESULT.search(attributes) and b"<v" in body):
                scan.unstored.add((row, column))
                scan.last_row = max(scan.last_row, row)
        style = _STYLE.search(attributes) if styles else None
        if style and style[1] in styles:
            scan.percentages.add((row, column))


def _merges(xml: bytes) -> list[Merge]:
    return [
        Merge(int(top), _column(left), int(bottom), _column(right))
        for left, top, right, bottom in _MERGE.findall(xml)
    ]


def _column(letters: bytes) -> int:
    """'A' is 1, 'AA' is 27."""
    number = 0
    for letter in letters:
        number = number * 26 + letter - 64
    return number
