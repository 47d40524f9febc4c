"""The demo season's page as a keeper meets it: on a phone and on a desk, by day and by night, by keyboard and on paper."""

import re

import pytest

from tests.axe import NEEDS_AXE, fetched, violations
from tests.chromium import NEEDS_CHROMIUM, heard

pytestmark = NEEDS_CHROMIUM
PAPER = {"width": 700, "height": 1000}
"""An A4 sheet within its margins, in the pixels of a style sheet."""
LYING = 1030
"""The width of the same sheet lying, on which the widest tables are printed."""


@pytest.fixture(scope="module")
def address(demo):
    return demo.season.page.as_uri()


@pytest.fixture(scope="module")
def opened(browser, address):
    """The page without a network, every row of every table built."""
    page = heard(browser.new_page(viewport={"width": 1440, "height": 900}, offline=True))
    page.goto(address)
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    yield page
    assert page.complaints == []
    page.close()


@pytest.fixture(scope="module")
def axe(tmp_path_factory):
    return fetched(tmp_path_factory.mktemp("axe"))


@pytest.mark.parametrize("scheme, width", [("light", 360), ("dark", 1440)])
@pytest.mark.skipif(NEEDS_AXE[-1].args[0], reason="needs npm, to fetch axe-core")
def test_demo_page__has_nothing_serious_against_it(browser, address, axe, scheme, width):
    assert violations(browser, address, axe, scheme=scheme, width=width) == []


LONG_TABLES = (
    "[...document.querySelectorAll('.grid')].filter((one) => one.querySelectorAll('tbody tr').length > 8)"
)
SORTED = """(grid) => [...grid.querySelectorAll("thead th")].filter((head) => head.querySelector("button")).flatMap((head) => {
  const said = () => [...grid.querySelectorAll("tbody tr")].map((row) => row.cells[head.cellIndex].textContent);
  head.querySelector("button").click();
  const up = said();
  head.querySelector("button").click();
  const down = said();
  const filled = (texts) => texts.filter((text) => text.trim() !== "");
  const turned = head.ariaSort === "descending" && filled(up).length === filled(down).length;
  const differ = new Set(filled(up)).size > 1;
  return turned && (!differ || filled(up)[0] !== filled(down)[0]) ? [] : [`${grid.id}: ${head.textContent}`];
})"""


def test_demo_page__every_table_sorts_by_every_column(opened):
    assert opened.evaluate(f"[...document.querySelectorAll('.grid')].flatMap({SORTED})") == []


FILTERED = """(grid) => {
  const input = grid.querySelector(".filter input");
  if (!input) return [`${grid.id}: no filter`];
  const rows = [...grid.querySelectorAll("tbody tr")];
  const words = new Set(rows.flatMap((row) => [...row.querySelectorAll("th a, td:not([data-key]) a.record")].map((link) => link.textContent.trim())));
  const wrong = [];
  for (const word of [...words].slice(0, 3)) {
    input.value = word;
    input.dispatchEvent(new Event("input", { bubbles: true }));
    const left = rows.filter((row) => !row.hidden);
    const fit = (row) => word.toLowerCase().split(/\\s+/).every((part) => row.textContent.toLowerCase().includes(part));
    if (!left.length || left.some((row) => !fit(row)) || rows.some((row) => row.hidden && row.textContent.toLowerCase().includes(word.toLowerCase()))) wrong.push(`${grid.id}: ${word}`);
  }
  input.value = "";
  input.dispatchEvent(new Event("input", { bubbles: true }));
  return rows.some((row) => row.hidden) ? [...wrong, `${grid.id}: rows stay hidden`] : wrong;
}"""


def test_demo_page__every_long_table_filters_by_animal_pairing_and_gene(opened):
    assert opened.evaluate(f"{LONG_TABLES}.length") > 15
    assert opened.evaluate(f"{LONG_TABLES}.flatMap({FILTERED})") == []


def test_demo_page__filters_by_season(opened):
    opened.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
    opened.fill("#due-before-filter", "2025")
    left = opened.locator("#due-before tbody tr:visible")
    assert 0 < left.count() < opened.locator("#due-before tbody tr").count()
    assert all("2025" in text for text in left.all_inner_texts())
    opened.fill("#due-before-filter", "")


def test_demo_page__every_row_with_a_number_leads_to_its_records(opened):
    without = """[...document.querySelectorAll(".grid")].flatMap((grid) => [...grid.querySelectorAll("tbody tr")].filter(
      (row) => row.querySelector("td[data-key]") && !row.querySelector("a.record")
    ).map((row) => `${grid.id}: ${row.textContent.slice(0, 80)}`))"""
    assert opened.evaluate(without) == []


def test_demo_page__every_sentence_and_chart_leads_to_records(opened):
    """A sentence of the first answer to a part of the page that does; a chart itself, but for one of many animals."""
    leads = """[...document.querySelectorAll("#answer li a")].filter(
      (link) => !document.getElementById(decodeURIComponent(link.hash.slice(1))).querySelector("a.record")
    ).map((link) => link.textContent)"""
    assert [one for one in opened.evaluate(leads) if not one.endswith("cells of the book to look at.")] == []
    charts = (
        "[...document.querySelectorAll('figcaption strong')].filter((one) => !one.querySelector('a.record'))"
    )
    titles = opened.evaluate(f"{charts}.map((one) => one.textContent)")
    assert {title.partition(": ")[2] for title in titles} == {"who becomes ready when"}


def test_demo_page__a_sum_says_every_row_it_adds_up(opened):
    """The season of a species: its pairings and hatch rows, the parents of its young, and the prices that it is valued at."""
    told = "(id) => document.getElementById(id).textContent.replace(/\\s+/g, ' ')"
    cells = opened.locator("#season-value tr", has_text="all young").first.locator("a.record")
    places = [opened.evaluate(told, link.get_attribute("href")[1:]) for link in cells.all()]
    assert [re.sub("[0-9]+", "0", place) for place in places] == [
        "0seasonHatch results, rows 0–0; Pairings, rows 0–0Common boa",
        "USDall pricesPrices, 0 rows from 0 to 0Common boa",
        "0parents of the season's youngAnimals, 0 rows from 0 to 0Common boa",
    ]


def test_demo_page__every_link_has_its_place_and_says_sheet_and_row(opened):
    lost = """[...document.querySelectorAll('a[href^="#"]')].map((link) => decodeURIComponent(link.hash.slice(1)))
      .filter((id) => !document.getElementById(id))"""
    assert opened.evaluate(lost) == []
    rows = opened.evaluate(
        "[...document.querySelectorAll('#records-list tbody tr')].map((row) => row.textContent)"
    )
    assert len(rows) > 100 and all(", row" in row or " rows from " in row for row in rows)


def test_demo_page__tells_what_changed_and_what_words_mean(opened):
    assert "first run in this folder" in opened.locator("#changes").inner_text()
    terms = opened.locator("#glossary dt").all_inner_texts()
    assert {"p", "q", "Chi-square", "Het"} <= set(terms)


def test_demo_page__every_control_is_reached_by_keyboard_and_seen(browser, address):
    """The first sixty stops of the Tab key: each another control, in sight, with a line around it."""
    page = browser.new_page(viewport={"width": 360, "height": 800}, offline=True)
    page.goto(address)
    seen = []
    for _ in range(60):
        page.keyboard.press("Tab")
        seen.append(
            page.evaluate("""(() => {
              const one = document.activeElement, box = one.getBoundingClientRect(), line = getComputedStyle(one);
              window.stops ??= new Map();
              if (!window.stops.has(one)) window.stops.set(one, window.stops.size);
              return [window.stops.get(one), box.bottom > 0 && box.top < innerHeight && box.width > 0, line.outlineStyle, parseFloat(line.outlineWidth)];
            })()""")
        )
    page.close()
    assert [stop[0] for stop in seen] == list(range(60))
    assert [stop for stop in seen if not stop[1] or stop[2] == "none" or stop[3] < 2] == []


def test_demo_page__sorts_and_folds_by_keyboard(browser, address):
    page = browser.new_page(offline=True)
    page.goto(address)
    head = page.locator("#pairings thead th").first
    head.locator("button").focus()
    page.keyboard.press("Enter")
    assert head.get_attribute("aria-sort") == "ascending"
    fold = page.locator("summary").first
    fold.focus()
    page.keyboard.press("Space")
    assert fold.evaluate("(one) => one.parentElement.open")
    assert page.locator("[tabindex]:not([tabindex='0']):not([tabindex='-1'])").count() == 0
    page.close()


def test_demo_page__scrolls_no_table_sideways_on_a_desk(opened):
    opened.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
    wide = "[...document.querySelectorAll('.scroll')].filter((one) => one.scrollWidth > one.clientWidth).map((one) => one.innerText)"
    assert opened.evaluate(wide) == []


def test_demo_page__prints_what_was_drawn_for_a_dark_room_in_dark_ink(browser, address):
    page = browser.new_page(viewport={"width": 1440, "height": 900}, color_scheme="dark", offline=True)
    page.goto(address)
    plot = page.locator("#ratios .plot").first
    plot.scroll_into_view_if_needed()
    plot.locator("svg text").first.wait_for()
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    page.emulate_media(media="print", color_scheme="dark")
    ink = plot.evaluate("(one) => [...new Set([...one.querySelectorAll('text')].map((word) => getComputedStyle(word).fill))]")
    assert set(ink) <= {"rgb(0, 0, 0)", "rgb(68, 68, 68)"}
    assert plot.evaluate("(one) => one.querySelector('svg').getBoundingClientRect().width") <= 350
    page.close()


def test_demo_page__says_what_its_columns_mean_without_a_pointer(opened):
    missing = """[...document.querySelectorAll('main > section > .grid, main > section > details > .grid')].filter((grid) => {
      const told = [...grid.querySelectorAll('.meanings dd')].map((one) => one.textContent);
      return [...grid.querySelectorAll('thead th[title]')].some((head) => head.title && !told.includes(head.title));
    }).map((grid) => grid.id)"""
    assert opened.evaluate(missing) == []
    assert opened.locator("#animals .meanings dt").count() > 5


def test_demo_page__fits_on_paper(browser, address):
    page = browser.new_page(viewport=PAPER, color_scheme="dark", offline=True)
    page.goto(address)
    page.emulate_media(media="print")
    page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
    wide = "[...document.querySelectorAll('.grid{} table')].filter((one) => one.offsetWidth > innerWidth).map((one) => one.caption.textContent)"
    assert page.evaluate(wide.format(":not(.wide)")) == []
    assert page.evaluate("getComputedStyle(document.querySelector('.wide')).page") == "lying"
    page.set_viewport_size({**PAPER, "width": LYING})
    assert page.evaluate(wide.format(".wide")) == []
    assert page.locator(".filter:visible, .contents:visible").count() == 0
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
    page.close()


@pytest.mark.parametrize("width", [360, 768, 1440])
def test_demo_page__never_scrolls_sideways(browser, address, width):
    page = browser.new_page(viewport={"width": width, "height": 900}, offline=True)
    page.goto(address)
    page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    beyond = "[...document.querySelectorAll('caption span')].filter((one) => one.getBoundingClientRect().right > innerWidth)"
    assert page.evaluate(f"{beyond}.map((one) => one.textContent)") == []
    page.close()
