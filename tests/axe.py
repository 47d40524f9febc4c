"""axe-core in a page: WCAG 2, levels A and AA, and its good practice. Fetched by npm while the tests run, no part of this project."""

import shutil
import subprocess
import tarfile
from pathlib import Path

import pytest

from tests.chromium import NEEDS_CHROMIUM

NEEDS_AXE = [
    *NEEDS_CHROMIUM,
    pytest.mark.skipif(shutil.which("npm") is None, reason="needs npm, to fetch axe-core"),
]
BAD = ("serious", "critical")


def fetched(folder: Path) -> str:
    """The text of axe-core; skips the test where it can't be had."""
    packed = subprocess.run(
        ["npm", "pack", "axe-core@4", "--silent"], cwd=folder, capture_output=True, text=True, timeout=120
    )
    if packed.returncode:
        pytest.skip(f"npm could not fetch axe-core: {packed.stderr.strip()[:200]}")
    (archive,) = folder.glob("*.tgz")
    with tarfile.open(archive) as package:
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
