"""Tables longer than the page writes out, in a real browser: no row is out of reach."""

import pytest

from pipeline.report import grid
from pipeline.report.page import write_page
from tests.chromium import NEEDS_CHROMIUM, heard
from tests.report.invented import HEAD, findings

pytestmark = NEEDS_CHROMIUM
ANIMALS = 3 * grid.WRITTEN
EVERY_ROW = """() => {
    document.querySelectorAll(".grid").forEach((one) => one.querySelector("thead button").click());
    return [...document.querySelectorAll("tbody tr")].map((one) => one.outerHTML);
}"""


@pytest.fixture(scope="module")
def long_address(tmp_path_factory):
    path = tmp_path_factory.mktemp("long") / "report.html"
    write_page(findings(pairings=50, animals=ANIMALS), HEAD, path)
    return path.as_uri()


@pytest.fixture
def opened(browser):
    """Opens an address; the page's complaints are in `complaints`."""
    page = heard(browser.new_page(offline=True))
    yield page
    assert page.complaints == []
    page.close()


def test_page__builds_the_rows_that_the_template_would_write(opened, long_address, tmp_path, monkeypatch):
    opened.goto(long_address)
    assert opened.locator("#animals script.rows").count() + opened.locator("#animals tbody tr").count() > 0
    built = opened.evaluate(EVERY_ROW)
    monkeypatch.setattr(grid, "WRITTEN", 10_000)
    write_page(findings(pairings=50, animals=ANIMALS), HEAD, tmp_path / "whole.html")
    assert 'class="rows"' not in (tmp_path / "whole.html").read_text(encoding="utf-8")
    opened.goto((tmp_path / "whole.html").as_uri())
    assert built == opened.evaluate(EVERY_ROW)


def test_page__a_link_leads_to_a_row_that_was_not_built(opened, long_address):
    opened.add_init_script("window.requestIdleCallback = () => {}")
    opened.goto(f"{long_address}#record-{ANIMALS - 1}")
    opened.locator(f"#records-list #record-{ANIMALS - 1}:target").wait_for(state="visible")
    assert opened.locator("#tests script.rows").count() == 1  # its own table alone was built


def test_page__filters_and_sorts_rows_that_were_not_written(opened, long_address):
    opened.goto(long_address)
    last = f"A{ANIMALS - 1:03d}"
    opened.fill("#animals-filter", last.lower())
    assert opened.locator("#animals tbody tr:visible").count() == 1
    assert opened.locator("#animals .found").inner_text() == f"1 of {ANIMALS} rows"
    opened.fill("#animals-filter", "")
    head = opened.locator("#animals thead th", has_text="Animal").locator("button")
    head.click()
    head.click()
    assert opened.locator("#animals tbody tr").first.locator("th").inner_text() == last


def test_page__builds_a_folded_table_when_it_is_opened(opened, long_address):
    opened.add_init_script("window.requestIdleCallback = () => {}")
    opened.goto(long_address)
    assert opened.locator("#records-list tbody tr").count() == grid.WRITTEN
    opened.locator("details:has(#records-list) > summary").press("Enter")
    opened.wait_for_function("() => !document.querySelector('#records-list script.rows')")
    assert opened.locator("#records-list tbody tr").count() == 50 + ANIMALS


def test_page__builds_every_row_for_paper_and_while_nobody_waits(opened, long_address):
    opened.goto(long_address)
    opened.wait_for_function("() => !document.querySelector('script.rows')")
    opened.add_init_script("window.requestIdleCallback = () => {}")
    opened.reload()
    assert opened.locator("script.rows").count() > 0
    opened.pdf()
    assert opened.locator("script.rows").count() == 0
