"""A workbook without the rows that hold formats alone.

Formats painted down whole columns make a million rows that a reader would walk one by one, half a minute for nothing.
Large sheets are therefore rewritten in memory without their empty rows, before anything reads them; the rows that are
left keep their numbers.
"""

import re
from collections.abc import Iterator
from dataclasses import replace
from io import BytesIO
from typing import IO
from zipfile import ZIP_DEFLATED, ZipFile

from pipeline.workbook.package import MEGABYTE, Package
from pipeline.workbook.scan import CHUNK, LONGEST_ROW, tag_prefix

LARGE = 8 * MEGABYTE
"""Unpacked size from which rewriting a sheet pays."""


def slimmed(package: Package) -> Package:
    """The package with its large sheets freed of empty rows; the same one where none is large."""
    with package.archive() as archive:
        large = {sheet.part for sheet in package.sheets if archive.getinfo(sheet.part).file_size > LARGE}
        if not large:
            return package
        slim = BytesIO()
        with ZipFile(slim, "w", ZIP_DEFLATED, compresslevel=1) as target:
            for name in dict.fromkeys(archive.namelist()):
                with archive.open(name) as source, target.open(name, "w", force_zip64=True) as copy:
                    copy.writelines(filled_rows(source) if name in large else _pieces(source))
    return replace(package, data=slim.getvalue())


def filled_rows(stream: IO[bytes]) -> Iterator[bytes]:
    """The XML of a sheet in pieces, without numbered rows whose cells are all empty.

    ValueError where a row is too long to be one.
    """
    rest = stream.read(CHUNK)
    prefix = tag_prefix(rest)
    row, empty = b"<" + prefix + b"row", _empty_row(prefix)
    while chunk := stream.read(CHUNK):
        rest += chunk
        cut = rest.rfind(row)
        if cut < 0:
            cut = max(len(rest) - len(row), 0)
        yield empty.sub(b"", rest[:cut])
        rest = rest[cut:]
        if len(rest) > LONGEST_ROW:
            raise ValueError("a row of the sheet does not end")
    yield empty.sub(b"", rest)


def _pieces(stream: IO[bytes]) -> Iterator[bytes]:
    while piece := stream.read(CHUNK):
        yield piece


def _empty_row(prefix: bytes) -> re.Pattern[bytes]:
    """Nothing in it is tried twice, so that the time grows with the size, whatever is written."""
    name = re.escape(prefix)
    cell = rb"<%bc(?:\s[^<>]*+(?:(?<=/)>|></%bc>)|/>|></%bc>)\s*+" % (name, name, name)
    start = rb"""<%brow\s(?>[^<>]*?\br=["']\d+["'])[^<>]*+""" % name
    return re.compile(rb"%b(?:(?<=/)>|>\s*+(?:%b)*+</%brow>)" % (start, cell, name))
