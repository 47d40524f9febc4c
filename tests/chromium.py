"""Where Chromium is, how it is started (with no network, no profile and no questions), and what its pages complain of."""

import shutil

import pytest

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-sync",
]
NEEDS_CHROMIUM = [pytest.mark.program, pytest.mark.skipif(CHROMIUM is None, reason="needs Chromium")]
"""The marks of a module whose tests look at a page."""


def heard(page):
    """The page, keeping in `complaints` what its console, scripts and dialogs say and what it fetches beside itself."""
    page.complaints = []
    page.on("console", lambda message: page.complaints.append(message.text))
    page.on("pageerror", lambda error: page.complaints.append(str(error)))
    page.on("dialog", lambda dialog: (page.complaints.append(dialog.message), dialog.dismiss()))
    page.on("request", lambda request: _opens_a_file(request) or page.complaints.append(request.url))
    return page


def _opens_a_file(request) -> bool:
    return request.is_navigation_request() and request.url.startswith("file:")
