"""Where Chromium is, and how it is started: with no network, no profile and no questions."""

import shutil

import pytest

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
FLAGS = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-sync"]
NEEDS_CHROMIUM = [pytest.mark.program, pytest.mark.skipif(CHROMIUM is None, reason="needs Chromium")]
"""The marks of a module whose tests look at a page."""
