"""The page of 2,000 animals and 400 pairings, their findings invented: under 5 MB, and there within 2 seconds."""

import pytest

from pipeline.report.page import write_page
from tests.chromium import NEEDS_CHROMIUM
from tests.loading import loading_times
from tests.report.invented import HEAD, findings

LARGEST, LONGEST = 5_000_000, 2.0


@pytest.fixture(scope="module")
def big(tmp_path_factory):
    path = tmp_path_factory.mktemp("big") / "report.html"
    write_page(findings(pairings=400, animals=2_000), HEAD, path)
    return path


def test_page__of_2000_animals_is_small(big):
    assert big.stat().st_size < LARGEST


@pytest.mark.program
@NEEDS_CHROMIUM[-1]
def test_page__of_2000_animals_is_soon_there(big, browser):
    """The best of five, since others use the machine as well."""
    assert min(loading_times(browser, big.as_uri())) < LONGEST
