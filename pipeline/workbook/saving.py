"""Writing a workbook to disk: never over a file, never half, and the same bytes for the same content."""

import re
import zipfile
from datetime import datetime
from io import BytesIO
from pathlib import Path
from uuid import uuid4

from openpyxl import Workbook

from pipeline.errors import RequestError

STAMP = datetime(2000, 1, 1)
"""The date that books of ours carry inside, whenever they are written."""

_MODIFIED = re.compile(rb"(<dcterms:modified[^>]*>)[^<]*(</dcterms:modified>)")


def refuse_existing(path: Path, remedy: str) -> None:
    """RequestError where `path` is taken or its folder is missing; `remedy` ends the sentence about a taken name."""
    if path.exists():
        raise RequestError(f"{path} exists already and is never written over; {remedy}.")
    if not path.parent.is_dir():
        raise RequestError(f"The folder {path.parent} does not exist; make it first, or name another.")


def save_book(workbook: Workbook, path: Path, remedy: str = "choose another name") -> None:
    """Write `workbook` to the new file `path`, whole or not at all.

    The time of saving is left out, so that the same content gives the same bytes. RequestError where `path` exists.
    """
    refuse_existing(path, remedy)
    buffer = BytesIO()
    workbook.save(buffer)
    temporary = path.with_name(f".{path.name}.{uuid4().hex}")
    try:
        temporary.write_bytes(_without_clock(buffer.getvalue()))
        refuse_existing(path, remedy)
        temporary.replace(path)
    finally:
        temporary.unlink(missing_ok=True)


def _without_clock(book: bytes) -> bytes:
    """The same archive with the time of saving struck from the entries' headers and the document's properties."""
    out = BytesIO()
    with zipfile.ZipFile(BytesIO(book)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for entry in old.infolist():
            content = old.read(entry)
            if entry.filename == "docProps/core.xml":
                stamp = STAMP.isoformat().encode() + b"Z"
                content = _MODIFIED.sub(rb"\g<1>" + stamp + rb"\g<2>", content)
            new.writestr(
                zipfile.ZipInfo(entry.filename, STAMP.timetuple()[:6]), content, zipfile.ZIP_DEFLATED
            )
    return out.getvalue()
