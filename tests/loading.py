"""How long a page takes to load, by its own clock."""

from collections.abc import Sequence

LOADED = "performance.getEntriesByType('navigation')[0].loadEventEnd"
DRAWN = """() => [...document.querySelectorAll('.plot')].filter((plot) => plot.getBoundingClientRect().top < innerHeight)
  .every((plot) => plot.querySelector('svg'))"""


def loading_times(browser, address: str, times: int = 5) -> Sequence[float]:
    """Seconds from asking for the page to its load event, each in a window of its own: nothing is kept between."""
    found = []
    for _ in range(times):
        context = browser.new_context(viewport={"width": 360, "height": 800}, offline=True)
        page = context.new_page()
        page.goto(address)
        page.wait_for_function(f"() => {LOADED} > 0")
        page.wait_for_function(DRAWN)
        found.append(page.evaluate(LOADED) / 1_000)
        context.close()
    return found
