"""Draws the pictures of README.md anew from the demo season: `python -m tests.gallery` (needs Chromium)."""

import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from pipeline.example.collection import AS_OF
from pipeline.season import run_season
from tests.chromium import CHROMIUM, FLAGS

if TYPE_CHECKING:
    from playwright.sync_api import Page

ROOT = Path(__file__).resolve().parent.parent
GALLERY = ROOT / "charts" / "gallery"
SECTIONS = ("suspicions", "ratios", "growth", "prices")
"""A picture of the first chart or card of each of these sections, where the page has it."""
WIDTH, HEIGHT = 1100, 760
PHONE = {"width": 390, "height": 760}


def main() -> int:
    """Run the demo season, photograph its page, and return 0; 1 with a sentence where Chromium is missing."""
    if CHROMIUM is None:
        print("Drawing the gallery needs Chromium on the PATH.", file=sys.stderr)
        return 1
    GALLERY.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        result = run_season([ROOT / "workbooks" / "demo.xlsx"], Path(folder) / "season", as_of=AS_OF)
        _photograph(result.page)
    return 0


def _photograph(page_file: Path) -> None:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        page = browser.new_page(viewport={"width": WIDTH, "height": HEIGHT})
        page.goto(page_file.as_uri())
        page.wait_for_load_state("networkidle")
        page.screenshot(path=GALLERY / "report.png")
        for section in SECTIONS:
            _picture(page, f"#{section} article, #{section} figure", section)
        page.locator("#carriers .draw").first.click()
        _picture(page, "#carriers .unfolded figure", "carriers")
        phone = browser.new_page(viewport=PHONE)
        phone.goto(page_file.as_uri())
        phone.evaluate("document.querySelector('#answer').scrollIntoView()")
        phone.screenshot(path=GALLERY / "phone.png")
        browser.close()


def _picture(page: "Page", subject: str, name: str) -> None:
    """A picture of the first of these elements, once its chart is drawn."""
    found = page.locator(subject).first
    found.scroll_into_view_if_needed()
    page.wait_for_timeout(600)
    found.screenshot(path=GALLERY / f"{name}.png")


if __name__ == "__main__":
    sys.exit(main())
