"""Where LibreOffice is, and what it makes of a book that it opens and saves."""

import shutil
import subprocess
from pathlib import Path

import pytest

SOFFICE = shutil.which("soffice") or shutil.which("libreoffice")
NEEDS_LIBREOFFICE = [
    pytest.mark.program,
    pytest.mark.skipif(SOFFICE is None, reason="LibreOffice is not installed"),
]
"""The marks of a module whose tests need it."""


def saved_by_libreoffice(folder: Path, *books: Path) -> list[Path]:
    """The books as LibreOffice saves them to a folder of their own: opened, reckoned anew, written as .xlsx.

    One start for all of them, since that takes seconds; its profile lies in the folder.
    """
    profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
    convert = ["--headless", "--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", folder]
    subprocess.run([SOFFICE, profile, *convert, *books], check=True, capture_output=True, timeout=300)
    return [folder / book.name for book in books]
