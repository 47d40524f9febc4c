"""The parts of a workbook file, some of them changed, and the whole written again with every other byte as it was.

A library that loads and saves a workbook keeps what it knows of it. A keeper's pictures, charts, pivot tables and newer
colour rules outlive a copy only where nothing but the parts to be changed is touched.
"""

import re
import zipfile
from io import BytesIO
from pathlib import PurePosixPath
from xml.dom.minidom import Document, Element

from defusedxml.minidom import parseString

from pipeline.workbook.package import Package, main_part, relations
from pipeline.workbook.saving import STAMP

RELATIONS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_TYPES = "[Content_Types].xml"
_EMPTY = f'<Relationships xmlns="{_PACKAGE}/relationships"/>'.encode()


class Parts:
    """A package's parts by name: as they are in the file, or as they were changed since."""

    def __init__(self, package: Package) -> None:
        self._package = package
        self._changed: dict[str, bytes] = {}
        with package.archive() as archive:
            self._names = set(archive.namelist())
            self.main = main_part(archive)

    def read(self, part: str) -> bytes:
        """The part's bytes, in UTF-8 where it is XML."""
        if part in self._changed:
            return self._changed[part]
        with self._package.archive() as archive:
            return _in_utf8(archive.read(part))

    def write(self, part: str, content: bytes) -> None:
        """Change a part, or add one."""
        self._changed[part] = content
        self._names.add(part)

    def document(self, part: str) -> Document:
        """The part as a tree; XML entities are refused."""
        return parseString(self.read(part))

    def related(self, part: str, kind: str) -> str | None:
        """The first part of that kind ('comments', 'styles') that a part refers to; None where there is none."""
        if _relations_of(part) not in self._names:
            return None
        found = relations(self.read, part).values()
        return next((to for k, to in found if k.endswith(f"/{kind}") and to in self._names), None)

    def relation_id(self, part: str, target: str) -> str:
        """The ID by which a part refers to another that it is related to."""
        return next(id for id, (_, to) in relations(self.read, part).items() if to == target)

    def add(self, part: str, kind: str, pattern: str, content_type: str) -> str:
        """A name for a new part, made of `pattern` and a free number, with the relation from `part` and its type on record.

        The part itself is to be written by the caller.
        """
        number = next(n for n in range(1, 10_000) if pattern.format(n) not in self._names)
        target = pattern.format(number)
        self._relate(part, kind, target)
        self._declare(target, content_type)
        self._names.add(target)
        return target

    def finished(self) -> bytes:
        """The whole file: changed parts anew, every other as it was."""
        out = BytesIO()
        with self._package.archive() as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
            for entry in old.infolist():
                content = self._changed.get(entry.filename)
                new.writestr(entry, old.read(entry) if content is None else content, zipfile.ZIP_DEFLATED)
            for part in sorted(self._changed.keys() - set(old.namelist())):
                new.writestr(
                    zipfile.ZipInfo(part, STAMP.timetuple()[:6]), self._changed[part], zipfile.ZIP_DEFLATED
                )
        return out.getvalue()

    def _relate(self, part: str, kind: str, target: str) -> None:
        place = _relations_of(part)
        document = parseString(self.read(place) if place in self._names else _EMPTY)
        root = root_of(document)
        taken = {one.getAttribute("Id") for one in root.childNodes if isinstance(one, Element)}
        one = document.createElement(root.tagName.replace("Relationships", "Relationship"))
        one.setAttribute("Id", next(f"rId{n}" for n in range(1, 10_000) if f"rId{n}" not in taken))
        one.setAttribute("Type", f"{RELATIONS}/{kind}")
        one.setAttribute("Target", f"/{target}")
        root.appendChild(one)
        self.write(place, document.toxml(encoding="utf-8"))

    def _declare(self, target: str, content_type: str) -> None:
        document = self.document(_TYPES)
        root = root_of(document)
        one = document.createElement(root.tagName.replace("Types", "Override"))
        one.setAttribute("PartName", f"/{target}")
        one.setAttribute("ContentType", content_type)
        root.appendChild(one)
        self.write(_TYPES, document.toxml(encoding="utf-8"))


def root_of(document: Document) -> Element:
    """The element that holds all others. LookupError where there is none: a tree that was read has one."""
    if document.documentElement is None:
        raise LookupError("an XML document without an element")
    return document.documentElement


def _relations_of(part: str) -> str:
    path = PurePosixPath(part)
    return str(path.parent / "_rels" / f"{path.name}.rels")


def _in_utf8(content: bytes) -> bytes:
    """XML in UTF-16 as UTF-8, so that bytes can be searched; anything else as it is."""
    if not content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return content
    return re.sub(r"^<\?xml[^>]*\?>", "", content.decode("utf-16")).encode()
