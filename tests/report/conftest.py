"""A page for the tests that look at the report as a keeper does."""

import pytest

from pipeline.report.page import write_page
from tests.report.invented import HEAD, findings


@pytest.fixture(scope="module")
def address(tmp_path_factory):
    """Where a page of invented findings lies."""
    path = tmp_path_factory.mktemp("page") / "report.html"
    write_page(findings(pairings=12, animals=12), HEAD, path)
    return path.as_uri()
