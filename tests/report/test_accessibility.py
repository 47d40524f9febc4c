"""The page under axe-core's rules (WCAG 2, levels A and AA, and its good practice), by day and by night.

axe-core is fetched by npm while the test runs and is no part of this project.
"""

import shutil
import subprocess
import tarfile

import pytest

from tests.chromium import NEEDS_CHROMIUM

pytestmark = [
    *NEEDS_CHROMIUM,
    pytest.mark.skipif(shutil.which("npm") is None, reason="needs npm, to fetch axe-core"),
]
BAD = ("serious", "critical")


@pytest.fixture(scope="module")
def axe(tmp_path_factory):
    """The text of axe-core."""
    folder = tmp_path_factory.mktemp("axe")
    fetched = subprocess.run(
        ["npm", "pack", "axe-core@4", "--silent"], cwd=folder, capture_output=True, text=True, timeout=120
    )
    if fetched.returncode:
        pytest.skip(f"npm could not fetch axe-core: {fetched.stderr.strip()[:200]}")
    (packed,) = folder.glob("*.tgz")
    with tarfile.open(packed) as package:
        return package.extractfile("package/axe.min.js").read().decode()


def violations(browser, address, axe, *, scheme="light", width=1440, spoil=""):
    """What axe-core finds serious or critical with every fold open: 'rule: the first elements'."""
    viewport = {"width": width, "height": 900}
    context = browser.new_context(viewport=viewport, color_scheme=scheme, offline=True, bypass_csp=True)
    page = context.new_page()
    page.goto(address)
    page.wait_for_selector(".plot.drawn svg")
    page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
    page.wait_for_timeout(500)
    if spoil:
        page.evaluate(spoil)
    page.evaluate(axe)
    found = page.evaluate("axe.run(document, { resultTypes: ['violations'] })")["violations"]
    context.close()
    return [
        f"{one['id']}: {[node['html'][:120] for node in one['nodes'][:3]]} {one['nodes'][0]['failureSummary'][:200]}"
        for one in found
        if one["impact"] in BAD
    ]


@pytest.mark.parametrize("scheme, width", [("light", 1440), ("dark", 1440), ("light", 360)])
def test_page__has_nothing_serious_against_it(browser, address, axe, scheme, width):
    assert violations(browser, address, axe, scheme=scheme, width=width) == []


def test_page__axe_would_tell(browser, address, axe):
    """Otherwise the tests above could not fail."""
    spoil = (
        "document.querySelector('.filter label').remove(); document.documentElement.removeAttribute('lang')"
    )
    told = violations(browser, address, axe, spoil=spoil)
    assert any(one.startswith("html-has-lang") for one in told)
