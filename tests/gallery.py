"""Draws the pictures of README.md anew from the demo season: `python -m tests.gallery` (needs Chromium)."""

import sys
import tempfile
from pathlib import Path

from pipeline.example.collection import AS_OF
from pipeline.season import run_season
from tests.chromium import CHROMIUM, FLAGS

ROOT = Path(__file__).resolve().parent.parent
GALLERY = ROOT / "charts" / "gallery"
SECTIONS = ("suspicions", "ratios", "carriers", "growth", "prices")
"""A picture of the first chart or card of each of these sections, where the page has it."""
WIDTH, HEIGHT = 1100, 760


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
            subject = page.locator(f"#{section} article, #{section} figure").first
            if subject.count():
                subject.scroll_into_view_if_needed()
                page.wait_for_timeout(600)
                subject.screenshot(path=GALLERY / f"{section}.png")
        browser.close()


if __name__ == "__main__":
    sys.exit(main())
