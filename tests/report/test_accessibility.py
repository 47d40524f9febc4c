"""The page under axe-core's rules (WCAG 2, levels A and AA, and its good practice), by day and by night."""

import pytest

from tests.axe import NEEDS_AXE, fetched, violations

pytestmark = NEEDS_AXE


@pytest.fixture(scope="module")
def axe(tmp_path_factory):
    return fetched(tmp_path_factory.mktemp("axe"))


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
