"""What a page does amiss is heard, so that the tests that find no complaint say something."""

import pytest

from tests.chromium import NEEDS_CHROMIUM, heard

pytestmark = NEEDS_CHROMIUM


@pytest.mark.parametrize(
    ("markup", "complaint"),
    [
        ("<script>console.log('a word')</script>", "a word"),
        ("<script>nosuch()</script>", "nosuch is not defined"),
        ("<script>alert('a question')</script>", "a question"),
        ("<img src='http://127.0.0.1:9/there.png'>", "http://127.0.0.1:9/there.png"),
        ("<script src='beside.js'></script>", "beside.js"),
    ],
)
def test_heard__keeps_every_complaint(browser, tmp_path, markup, complaint):
    (tmp_path / "page.html").write_text(markup)
    page = heard(browser.new_page(offline=True))
    page.goto((tmp_path / "page.html").as_uri())
    assert any(complaint in said for said in page.complaints)
    page.close()


def test_heard__a_page_of_its_own_is_no_complaint(browser, tmp_path):
    (tmp_path / "page.html").write_text("<p>quiet<img src='data:image/gif;base64,R0lGODlhAQABAAAAACw='>")
    page = heard(browser.new_page(offline=True))
    page.goto((tmp_path / "page.html").as_uri() + "#here")
    assert page.complaints == []
    page.close()
