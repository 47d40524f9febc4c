"""Writing a workbook to disk: never over a file, never half, and the same bytes for the same content."""

import gc
import re
import sys
import tempfile
import zipfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import datetime
from io import BytesIO
from pathlib import Path
from traceback import clear_frames
from uuid import uuid4
from xml.sax.saxutils import escape

from openpyxl import Workbook

from pipeline.errors import RequestError, refusals_told

STAMP = datetime(2000, 1, 1)
"""The date that books of ours carry inside, whenever they are written."""

_FORMULA = re.compile(rb'<c r="([A-Z]+[0-9]+)"([^>]*)>(<f>[^<]*</f>)<v ?/?>(?:</v>)?</c>')
_MODIFIED = re.compile(rb"(<dcterms:modified[^>]*>)[^<]*(</dcterms:modified>)")


def refuse_existing(path: Path, remedy: str) -> None:
    """RequestError where `path` is taken or its folder is missing; `remedy` ends the sentence about a taken name."""
    if path.exists():
        raise RequestError(f"{path} exists already and is never written over; {remedy}.")
    if not path.parent.is_dir():
        raise RequestError(f"The folder {path.parent} does not exist; make it first, or name another.")


def save_book(
    workbook: Workbook,
    path: Path,
    remedy: str = "choose another name",
    *,
    stored: Mapping[str, Mapping[str, object]] | None = None,
) -> None:
    """Write `workbook` to the new file `path`, whole or not at all.

    `stored` are values of formulas, by sheet and cell: they are kept beside the formulas, as Excel keeps them.

    The time of saving is left out, so that the same content gives the same bytes. RequestError where `path` exists.
    """
    refuse_existing(path, remedy)
    buffer = BytesIO()
    with _said_once():
        workbook.save(buffer)
    parts = {
        f"xl/worksheets/sheet{number}.xml": (stored or {}).get(page.title, {})
        for number, page in enumerate(workbook.worksheets, start=1)
    }
    write_whole(_finished(buffer.getvalue(), parts), path, remedy)


@contextmanager
def _said_once() -> Iterator[None]:
    """Tells where openpyxl, which writes each sheet to a temporary file first, has no room: in one sentence. A sheet that it
    gives up half-written, for want of room or for Ctrl+C, fails once more when it is let go, beside what is said of that; so
    it is let go here, unheard."""
    place = Path(tempfile.gettempdir())
    with refusals_told("have TMPDIR name another folder", place, elsewhere="have TMPDIR name another folder"):
        try:
            yield
        except (OSError, KeyboardInterrupt) as error:
            heard, sys.unraisablehook = sys.unraisablehook, lambda unraisable: None
            clear_frames(error.__traceback__)
            gc.collect()
            sys.unraisablehook = heard
            raise


def write_whole(content: bytes, path: Path, remedy: str) -> None:
    """Write the new file `path`, whole or not at all; RequestError where it exists (`remedy` ends the sentence), or where the
    system does not let us write."""
    temporary = path.with_name(f".{path.name}.{uuid4().hex}")
    with refusals_told("check that you may write there, or name another place", path):
        try:
            temporary.write_bytes(content)
            refuse_existing(path, remedy)
            temporary.replace(path)
        finally:
            temporary.unlink(missing_ok=True)


def _finished(book: bytes, stored: Mapping[str, Mapping[str, object]]) -> bytes:
    """The same archive with the time of saving struck from its headers and properties, and values beside formulas."""
    out = BytesIO()
    with zipfile.ZipFile(BytesIO(book)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for entry in old.infolist():
            content = old.read(entry)
            if entry.filename == "docProps/core.xml":
                stamp = STAMP.isoformat().encode() + b"Z"
                content = _MODIFIED.sub(rb"\g<1>" + stamp + rb"\g<2>", content)
            if values := stored.get(entry.filename):
                content = _with_values(content, values)
            new.writestr(
                zipfile.ZipInfo(entry.filename, STAMP.timetuple()[:6]), content, zipfile.ZIP_DEFLATED
            )
    return out.getvalue()


def _with_values(sheet: bytes, values: Mapping[str, object]) -> bytes:
    """The XML of a sheet with a value beside each formula that has one in `values`, by cell."""

    def filled(match: re.Match[bytes]) -> bytes:
        value = values.get(match[1].decode())
        if value is None:
            return match[0]
        kind = b' t="str"' if isinstance(value, str) else b""
        text = escape(str(value)).encode()
        return b'<c r="%b"%b%b>%b<v>%b</v></c>' % (match[1], match[2], kind, match[3], text)

    return _FORMULA.sub(filled, sheet)
