"""Files made to exhaust a computer or to pass for a book: one sentence, exit 2, bounded time and memory."""

import os
import socket
import sys
from pathlib import Path

import pytest

from pipeline.workbook.template import write_book
from tests.endtoend.small import SMALL
from tests.hostile import files
from tests.hostile.bounds import run, sentence

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="measured by wait4")
MEGABYTE = 1_000_000
RELATED = (
    f'<Relationships xmlns="{files.PACKAGE}/relationships"><Relationship Id="rId1" Type="{files.OFFICE}/worksheet" Target="worksheets/sheet1.xml"/>'
    f'<Relationship Id="rId2" Type="{files.OFFICE}/KIND" Target="KIND.xml"/></Relationships>'
)
ENTITIES = '<!DOCTYPE x [<!ENTITY a "ha">' + "".join(
    f'<!ENTITY {chr(98 + n)} "{f"&{chr(97 + n)};" * 10}">' for n in range(9)
)


def part(kind, root, piece, size):
    """A book that refers to a part of so many bytes, all of it the piece over and over."""
    xml = (f'<{root} xmlns="{files.MAIN}">'.encode(), *files.repeated(piece, size), f"</{root}>".encode())
    return {"xl/_rels/workbook.xml.rels": RELATED.replace("KIND", kind), f"xl/{kind}.xml": iter(xml)}


def tabs(size):
    head = f'<workbook xmlns="{files.MAIN}" xmlns:r="{files.OFFICE}"><sheets>'.encode()
    tab = '<sheet name="Animals" sheetId="1" r:id="rId1"/>'
    return {"xl/workbook.xml": iter((head, *files.repeated(tab, size), b"</sheets></workbook>"))}


def sheet(rows, size, tail=files.TAIL):
    return {files.SHEET: files.sheet_of(rows, size, tail)}


def bomb(head):
    return (
        files.HEAD.replace("<worksheet", f"{head}]><worksheet") + "<row><c><v>&j;</v></c></row>" + files.TAIL
    )


REFUSED = {  # what the file is: how it is written, and what is said of it
    "a sheet of 2 GB in 9 MB": (lambda p: files.book(p, sheet(" ", 2000 * MEGABYTE)), "would unpack to 2,0"),
    "two sheets of 0.6 GB": (
        lambda p: files.book(p, {**sheet(" ", 600 * MEGABYTE), "xl/worksheets/sheet2.xml": files.sheet_of(" ", 600 * MEGABYTE)}),
        "at most 1,000 MB are read",
    ),
    "styles of 90 MB": (lambda p: files.book(p, part("styles", "styleSheet", "<xf/>", 90 * MEGABYTE)), "at most 16 MB are read"),
    "texts of 0.2 GB": (lambda p: files.book(p, part("sharedStrings", "sst", "<si><t/></si>", 200 * MEGABYTE)), "at most 100 MB are read"),
    "a list of sheets of 90 MB": (lambda p: files.book(p, tabs(90 * MEGABYTE)), "at most 16 MB are read"),
    "20,000 tabs": (lambda p: files.book(p, tabs(MEGABYTE)), "has more than 1,000 sheets"),
    "200,000 parts": (lambda p: files.many_members(p, 200_000), "holds more than 10,000 files"),
    "a part that unpacks to more than it declares": (files.lying, "damaged inside"),
    "three million tags in one another": (lambda p: files.book(p, sheet("<a>", 9 * MEGABYTE)), "damaged inside"),
    "seven million cells that don't end": (lambda p: files.book(p, sheet("<c>", 20 * MEGABYTE, "<f" + files.TAIL)), "damaged inside"),
    "four million rows that don't end": (lambda p: files.book(p, sheet("<row ", 20 * MEGABYTE)), "damaged inside"),
    "ten million tags in one another behind the rows": (lambda p: files.book(p, sheet("<row/>", 10, "</sheetData>" + "<a>" * 10_000_000)), "damaged inside"),
    "ten million rows in one another": (lambda p: files.book(p, sheet("<row>", 50 * MEGABYTE)), "damaged inside"),
    "ten million texts in one another": (lambda p: files.book(p, part("sharedStrings", "sst", "<si>", 40 * MEGABYTE)), "damaged inside"),
    "a row with a million attributes": (lambda p: files.book(p, {files.SHEET: files.HEAD + files.HEADER + "<row " + " ".join(f'a{n}:r="1"' for n in range(MEGABYTE)) + "/>" + files.TAIL}), "damaged inside"),
    "XML entities that multiply": (lambda p: files.book(p, {files.SHEET: bomb(ENTITIES)}), "holds XML entities"),
    "an XML entity that is a file": (lambda p: files.book(p, {files.SHEET: bomb('<!DOCTYPE x [<!ENTITY j SYSTEM "file:///etc/passwd">')}), "holds XML entities"),
    "an XML entity from elsewhere": (lambda p: files.book(p, {files.SHEET: bomb('<!DOCTYPE x [<!ENTITY j SYSTEM "http://127.0.0.1:9/x">')}), "holds XML entities"),
    "a sheet that lies outside the archive": (
        lambda p: files.book(p, {"xl/_rels/workbook.xml.rels": RELATED.replace("worksheets/sheet1.xml", "../../../../etc/passwd").replace("KIND", "x")}),
        "damaged inside",
    ),
    "a tab whose sheet is lost": (
        lambda p: files.book(p, {"xl/workbook.xml": files.tabs_of("rId1", "rId2"), "xl/_rels/workbook.xml.rels": RELATED.replace("KIND", "worksheet")}),
        "damaged inside",
    ),
    "a tab that names no sheet": (lambda p: files.book(p, {"xl/workbook.xml": files.tabs_of("rId1", "rId2")}), "damaged inside"),
}  # fmt: skip


@pytest.mark.parametrize("what", REFUSED)
def test_check__refuses_within_bounds(tmp_path, what):
    write, words = REFUSED[what]
    said = sentence(run("check", write(tmp_path / "book.xlsx")))
    assert words in said


READ = {  # what the file is: how it is written, and the most that reading it may take (seconds, megabytes)
    "16,384 columns": (lambda p: files.wide(p, 50), 60, 600),
    "a million formatted rows": (lambda p: files.book(p, sheet('<row r="9" s="1" customFormat="1"><c r="A9" s="1"/></row>', 60 * MEGABYTE)), 30, 400),
    "a cell in the farthest corner": (lambda p: files.book(p, {files.SHEET: files.HEAD + files.HEADER + '<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>' + files.TAIL}), 30, 400),
    "200,000 merged ranges over one another": (
        lambda p: files.book(p, sheet('<row r="2"><c r="A2"><v>1</v></c></row>', 10, "</sheetData><mergeCells>" + '<mergeCell ref="A2:XFD1048576"/>' * 200_000 + "</mergeCells></worksheet>")), 30, 600),
    "7 million shared texts": (lambda p: files.book(p, part("sharedStrings", "sst", "<si><t/></si>", 95 * MEGABYTE)), 120, 1_500),
}  # fmt: skip


@pytest.mark.parametrize("what", READ)
def test_check__reads_within_bounds(tmp_path, what):
    write, seconds, megabytes = READ[what]
    taken = run("check", write(tmp_path / "book.xlsx"))
    assert taken.code in (0, 1) and "Traceback" not in taken.err, taken
    assert taken.seconds < seconds and taken.memory < megabytes
    assert len(taken.out) < 100_000


def listening(path):
    """A socket where a file should be."""
    with socket.socket(socket.AF_UNIX) as door:
        door.bind(str(path))
    return path


def piped(path):
    os.mkfifo(path)
    return path


def linked(target):
    def link(path):
        path.symlink_to(target)
        return path

    return link


STRANGE = {
    "a pipe": (piped, "is a device or a pipe"),
    "a socket": (listening, "is a device or a pipe"),
    "a link to endless zeros": (linked("/dev/zero"), "is a device or a pipe"),
    "a link to itself": (linked("book.xlsx"), "could not be read"),
    "a link to nothing": (linked("nowhere.xlsx"), "There is no file"),
    "a folder": (lambda p: p.mkdir() or p, "is a folder"),
}


@pytest.mark.parametrize("what", STRANGE)
def test_check__refuses_what_is_no_file(tmp_path, monkeypatch, what):
    monkeypatch.chdir(tmp_path)
    write, words = STRANGE[what]
    assert words in sentence(run("check", write(tmp_path / "book.xlsx")))


@pytest.mark.parametrize(
    "words", [("season", "."), ("season", ""), ("season", "/"), ("check", "."), ("sheet", ".", "B1")]
)
def test_commands__refuse_a_folder_without_a_name(words):
    assert " is a folder; give the workbook (.xlsx) inside it" in sentence(run(*words))


def test_check__refuses_devices_by_name():
    for device in ("/dev/zero", "/dev/random", "/dev/null", "/dev/tty"):
        if Path(device).exists():
            sentence(run("check", device))


def test_check__follows_a_link_to_a_book(tmp_path):
    write_book(tmp_path / "real.xlsx", SMALL)
    (tmp_path / "book.xlsx").symlink_to(tmp_path / "real.xlsx")
    assert run("check", tmp_path / "book.xlsx", "--as-of", "2025-11-01").code == 0


@pytest.mark.parametrize("what", ["a pipe", "a socket"])
def test_sheet__is_not_written_over_what_is_no_file(tmp_path, what):
    """Nor is the pipe read to see whose it is: nothing may ever come out of it."""
    write_book(tmp_path / "book.xlsx", SMALL)
    place = STRANGE[what][0](tmp_path / "page.html")
    taken = run("sheet", tmp_path / "book.xlsx", "B3", "--out", place)
    assert (taken.code, taken.out) == (1, "")
    assert f"{place} is no animal sheet and is not written over" in taken.err
