"""Names that could harm an output reach every one of them as plain text."""

import json
import shutil
from dataclasses import dataclass
from pathlib import Path
from xml.etree.ElementTree import parse

import pytest
from click.testing import CliRunner
from openpyxl import load_workbook

from pipeline.cli import main
from tests.chromium import NEEDS_CHROMIUM, heard
from tests.endtoend.hostile import AS_OF, DAM, FORMULA, IMAGE, LONG, SCRIPT, SECOND, SIRE, write

DAY = ("--as-of", AS_OF.isoformat())
LONGEST_LINE = 2_500


@dataclass(frozen=True)
class Told:
    """What each command printed, and the folder it worked in."""

    folder: Path
    said: dict[str, str]


def needs_chromium(test):
    for mark in NEEDS_CHROMIUM:
        test = mark(test)
    return test


def run(*words) -> str:
    result = CliRunner().invoke(main, [str(word) for word in words])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exc_info
    assert "Traceback" not in result.output
    return result.stdout


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    """Every command run once on the book, in a folder and under a name that hold markup too."""
    folder = tmp_path_factory.mktemp("hostile") / "a <i>folder"
    folder.mkdir()
    book = folder / "b & <i>x.xlsx"
    write(book)
    said = {
        "check": run("check", book, *DAY),
        "json": run("check", book, "--json", "--mark", folder / "marked.xlsx", *DAY),
        "season": run("season", book, "--out", folder / "season", *DAY),
        "cross": run("cross", book, DAM, SIRE),
        "plan": run("plan", book, *DAY),
        "sheet": run("sheet", book, DAM, "--out", folder / "sheet.html", *DAY),
    }
    return Told(folder, said)


@pytest.mark.parametrize("command", ["check", "season", "cross", "plan", "sheet"])
def test_commands__print_no_endless_line_and_no_control_character(told, command):
    lines = told.said[command].splitlines()
    assert max(map(len, lines)) < LONGEST_LINE
    assert [line for line in lines if any(ord(sign) < 32 or sign == "\u202e" for sign in line)] == []


def test_check__says_the_words_as_they_were_typed(told):
    assert f"Setting '{SCRIPT}' is none of those that are known" in told.said["check"]
    assert "(10,001 characters)" in told.said["check"] or "(10,000 characters)" in told.said["check"]
    values = [problem["value"] for problem in json.loads(told.said["json"])]
    assert FORMULA in values


def test_check__the_marked_copy_holds_no_formula(told):
    copy = load_workbook(told.folder / "marked.xlsx")
    cells = [cell for page in copy for row in page.iter_rows() for cell in row if cell.value is not None]
    assert [cell.value for cell in cells if cell.data_type == "f"] == []
    assert copy["Settings"]["B3"].value == FORMULA
    assert SCRIPT in copy["Settings"]["B3"].comment.text
    assert any(cell.value == LONG for cell in cells)


def test_season__findings_are_text_and_whole(told):
    book = load_workbook(told.folder / "season" / "findings.xlsx")
    cells = [cell for page in book for row in page.iter_rows() for cell in row]
    texts = {cell.value for cell in cells if isinstance(cell.value, str)}
    assert {FORMULA, SECOND, LONG, DAM} <= texts
    ours = [cell.value for cell in cells if cell.data_type == "f" and cell.value in (FORMULA, SECOND)]
    assert ours == []


def test_season__chart_files_are_sound_and_no_wider_than_others(told):
    files = sorted((told.folder / "season" / "charts").iterdir())
    assert len(files) > 5 and all(len(file.name) < 100 for file in files)
    for file in files:
        root = parse(file).getroot()
        assert float(root.get("width")) <= 700, file.name
        assert [one.tag for one in root.iter() if one.tag.endswith(("script", "image"))] == []


def opened(browser, path: Path, width: int):
    page = heard(browser.new_page(viewport={"width": width, "height": 800}, offline=True))
    page.goto(path.as_uri())
    page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
    page.wait_for_timeout(500)
    return page


def harmless(page, width: int) -> None:
    """No script of the book ran, no picture of it was asked for, and the page is as wide as the window."""
    assert page.evaluate("window.hit") is None
    assert page.locator("img").count() == 0 and page.complaints == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    words = page.locator("body").inner_text()
    assert SCRIPT in words and IMAGE in words and FORMULA in words
    assert "o" * 200 not in words and "\u202e" not in words


@needs_chromium
@pytest.mark.parametrize("width", [360, 1440])
@pytest.mark.parametrize("place", ["season/report.html", "sheet.html"])
def test_pages__show_the_names_as_text_and_keep_their_shape(told, browser, width, place):
    page = opened(browser, told.folder / place, width)
    harmless(page, width)
    page.close()


@needs_chromium
def test_season__no_block_of_the_page_is_blown_up_by_a_name(told, browser):
    page = opened(browser, told.folder / "season" / "report.html", 360)
    tall = "[...document.querySelectorAll('td, th, li, p, h3, dt, figcaption')].filter((one) => one.offsetHeight > 700).map((one) => one.textContent.slice(0, 80))"
    assert page.evaluate(tall) == []
    page.close()


@needs_chromium
def test_season__hebrew_turns_nothing_around_it(told, browser):
    """What follows a name written from right to left stands to its right, as in any English sentence."""
    page = opened(browser, told.folder / "season" / "report.html", 1440)
    where = """(() => {
      const found = [], walk = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
      const place = (node, at) => {
        const range = document.createRange();
        range.setStart(node, at);
        range.setEnd(node, at + 1);
        return range.getBoundingClientRect();
      };
      for (let node = walk.nextNode(); node; node = walk.nextNode()) {
        const said = /[\\u0590-\\u05ff][^a-z]*[a-z]/.exec(node.data);
        if (!said) continue;
        const [name, after] = [place(node, said.index), place(node, said.index + said[0].length - 1)];
        if (name.width && Math.abs(name.bottom - after.bottom) < 8) found.push([name.left, after.left, node.data]);
      }
      return found;
    })()"""
    found = page.evaluate(where)
    assert len(found) > 3
    assert [words for name, after, words in found if name >= after] == []
    page.close()


def test_season__compares_two_runs(told):
    """The second run compares the names with those of the first."""
    shutil.copytree(told.folder / "season", told.folder / "again")
    book = next(told.folder.glob("b*.xlsx"))
    run("season", book, "--out", told.folder / "again", "--as-of", "2025-11-02")
    assert "ince the run as of 1 November 2025" in (told.folder / "again" / "report.html").read_text(
        encoding="utf-8"
    )
