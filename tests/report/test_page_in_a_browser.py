"""The page in a real browser, with the network off: charts are drawn, tables sort and filter, nothing complains."""

from dataclasses import replace

import pytest

from pipeline.report.page import write_page
from pipeline.report.watched import write_stamp
from tests.chromium import NEEDS_CHROMIUM, heard
from tests.report.invented import HEAD, findings

pytestmark = NEEDS_CHROMIUM


@pytest.fixture
def opened(browser, address):
    """The page, opened offline on a phone; `complaints` holds what the console said and what was asked of a network."""
    context = browser.new_context(viewport={"width": 360, "height": 800}, offline=True)
    page = heard(context.new_page())
    page.goto(address)
    page.wait_for_selector(".plot.drawn svg")
    yield page
    context.close()


def test_page__draws_every_chart_in_sight_without_a_complaint(opened):
    waiting = "() => [...document.querySelectorAll('.plot')].every((plot) => plot.querySelector('svg'))"
    opened.wait_for_function(waiting)
    assert opened.locator(".card .plot svg").count() == 3
    assert opened.complaints == []


@pytest.mark.parametrize("width", [360, 768, 1440])
def test_page__never_scrolls_sideways(opened, width):
    opened.set_viewport_size({"width": width, "height": 900})
    assert opened.evaluate("document.documentElement.scrollWidth") <= width


def test_page__sorts_numbers_as_numbers_both_ways(opened):
    head = opened.locator("#animals thead th", has_text="Latest weight")
    cells = (
        "() => [...document.querySelectorAll('#animals tbody tr')].map((r) => Number(r.cells[2].dataset.key))"
    )
    head.locator("button").click()
    assert head.get_attribute("aria-sort") == "ascending"
    ascending = opened.evaluate(cells)
    head.locator("button").click()
    assert head.get_attribute("aria-sort") == "descending"
    assert ascending == sorted(ascending) == opened.evaluate(cells)[::-1]


def test_page__filters_and_counts(opened):
    opened.fill("#animals-filter", "a003")
    assert opened.locator("#animals tbody tr:visible").count() == 1
    assert opened.locator("#animals .found").inner_text() == "1 of 12 rows"


def test_page__draws_a_pairing_on_demand_and_folds_it_again(opened):
    button = opened.locator("#pairings .draw").last
    button.click()
    opened.wait_for_selector("#pairings tr.unfolded svg")
    assert button.get_attribute("aria-expanded") == "true"
    button.click()
    assert opened.locator("#pairings tr.unfolded").count() == 0
    assert opened.complaints == []


def test_page__draws_how_the_odds_of_an_open_het_fall(opened):
    row = opened.locator("#carriers-open tbody tr", has_text="A001")
    row.locator(".draw").click()
    opened.wait_for_selector("#carriers-open tr.unfolded svg")
    assert "A001: het Albino?" in opened.locator("#carriers-open tr.unfolded").inner_text()
    assert opened.complaints == []


def test_page__a_name_leads_to_its_rows_in_the_book(opened):
    link = opened.locator("#animals tbody a.record", has_text="A002").first
    link.hover()
    assert link.get_attribute("title") == "A002 · animal · Animals, row 3"
    link.click()
    row = opened.locator("#records-list tr:target")
    row.wait_for(state="visible")
    assert "Animals, row 3" in row.inner_text() and opened.complaints == []


def test_page__redraws_for_a_dark_room(opened):
    opened.emulate_media(color_scheme="dark")
    dark = "(plot) => plot.querySelector('svg text[fill=\"#a8a49a\"]')"
    opened.wait_for_function(f"() => [...document.querySelectorAll('.plot')].every({dark})")
    assert opened.complaints == []


def test_page__headings_and_tables_are_told_to_a_screen_reader(opened):
    unnamed = "() => [...document.querySelectorAll('th:not([scope]), table:not(:has(caption)), input:not([id])')].length"
    assert opened.evaluate(unnamed) == 0
    assert opened.locator("main").count() == opened.locator("h1").count() == 1
    assert opened.locator("[role=img]:not([aria-label])").count() == 0
    opened.keyboard.press("Tab")
    assert opened.evaluate("document.activeElement.textContent") == "Skip to the answer"


def test_page__made_by_watch_loads_itself_anew_when_another_run_takes_its_place(browser, tmp_path):
    path = tmp_path / "report.html"
    write_page(findings(), replace(HEAD, watched=3), path)
    write_stamp(tmp_path, 3)
    page = browser.new_page(offline=True)
    page.goto(path.as_uri())
    page.evaluate("window.same = true")
    page.wait_for_timeout(2_000)
    assert page.evaluate("window.same") is True
    write_page(findings(), replace(HEAD, watched=4, keeper="Someone else"), path)
    write_stamp(tmp_path, 4)
    page.wait_for_function("() => window.same === undefined && document.title.includes('Someone else')")
    page.close()
