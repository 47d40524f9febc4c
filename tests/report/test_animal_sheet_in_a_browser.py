"""The animal sheet in a real browser, offline: on a phone, in a dark room, and on paper."""

import pytest

from pipeline.one_animal import run_sheet
from tests.chromium import NEEDS_CHROMIUM, heard
from tests.report.sheet_books import AS_OF, HOSTILE, family_book, hostile_book

pytestmark = NEEDS_CHROMIUM
PAPER = {"A4": (595, 842), "Letter": (612, 792)}
SHOWN = "(plots) => plots.map((plot) => getComputedStyle(plot).display !== 'none')"


@pytest.fixture(scope="module")
def address(tmp_path_factory):
    book = family_book(tmp_path_factory.mktemp("sheet") / "family.xlsx")
    return run_sheet(book, "K1", as_of=AS_OF).as_uri()


@pytest.fixture
def opened(browser, address):
    """Opens a page offline on a phone; `complaints` holds what the console said and what was asked of a network."""
    context = browser.new_context(viewport={"width": 360, "height": 800}, offline=True)

    def visit(where=address):
        page = heard(context.new_page())
        page.goto(where)
        return page

    yield visit
    context.close()


@pytest.mark.parametrize("width", [360, 768, 1280])
def test_sheet__never_scrolls_sideways(opened, width):
    page = opened()
    page.set_viewport_size({"width": width, "height": 900})
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.complaints == []


def test_sheet__shows_the_chart_that_fits_the_room_and_the_paper(opened):
    page = opened()
    assert page.eval_on_selector_all(".plot", SHOWN) == [True, False]
    page.emulate_media(color_scheme="dark")
    assert page.eval_on_selector_all(".plot", SHOWN) == [False, True]
    page.emulate_media(color_scheme="dark", media="print")
    assert page.eval_on_selector_all(".plot", SHOWN) == [True, False]
    colours = "[getComputedStyle(document.body).color, getComputedStyle(document.body).backgroundColor]"
    assert page.evaluate(colours) == ["rgb(0, 0, 0)", "rgb(255, 255, 255)"]


@pytest.mark.parametrize("paper", PAPER)
def test_sheet__prints_on_one_page(opened, paper):
    """The family's sheet, tree, chart and litters and all; the size of the page is the paper's."""
    pdf = opened().pdf(format=paper, prefer_css_page_size=True)
    assert pdf.count(b"/Type /Page\n") == 1
    sizes = [float(n) for n in pdf.split(b"/MediaBox [")[1].split(b"]")[0].split()]
    assert sizes[2:] == pytest.approx(PAPER[paper], abs=1)


def test_sheet__tree_lies_on_paper_and_stands_on_a_phone(opened):
    page = opened()
    spread = "new Set([...document.querySelectorAll('.tree .box')].map((box) => Math.round(box.getBoundingClientRect().left / 60))).size"
    tall = page.evaluate("document.querySelector('.tree').offsetHeight")
    page.set_viewport_size({"width": 1000, "height": 800})
    assert page.evaluate(spread) == 3
    assert page.evaluate("document.querySelector('.tree').offsetHeight") < tall


def test_sheet__hostile_texts_do_nothing(opened, make_book):
    page = opened(run_sheet(hostile_book(make_book), HOSTILE[0], as_of=AS_OF).as_uri())
    assert page.locator("h1").inner_text().startswith(HOSTILE[0])
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    assert page.complaints == []


def test_sheet__is_told_to_a_screen_reader(opened):
    page = opened()
    unnamed = "() => [...document.querySelectorAll('th:not([scope]), table:not(:has(caption)), section:not([aria-labelledby])')].length"
    assert page.evaluate(unnamed) == 0
    assert page.locator("main").count() == page.locator("h1").count() == 1
    assert page.locator("[role=img]:not([aria-label])").count() == 0
