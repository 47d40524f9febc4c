"""A finished season in a folder, and what must still be true of it after a run was cut off."""

import hashlib
import re
import subprocess
import sys
from pathlib import Path

import duckdb

from pipeline import questions, season, weighing
from tests.endtoend.small import AS_OF

ROOT = Path(__file__).resolve().parents[2]
_SAID = re.compile(r'say\("([^"]+)"\)')
STEPS = sorted(
    {
        words
        for module in (season, questions, weighing)
        for words in _SAID.findall(Path(module.__file__).read_text("utf-8"))
    }
)
"""Every step a season says, wherever a run can be cut off."""


def fingerprint(folder: Path) -> dict[str, str]:
    """Every file below a folder with the digest of its bytes."""
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def beside(folder: Path) -> list[str]:
    """What lies beside the results, the book and the results themselves aside: litter."""
    return [path.name for path in folder.parent.iterdir() if path != folder and path.suffix != ".xlsx"]


def answers_readable(folder: Path) -> bool:
    """Whether the findings can be opened and hold answers."""
    with duckdb.connect(str(folder / "season.duckdb"), read_only=True) as store:
        return store.execute("SELECT count(*) > 0 FROM findings.ratio_tests").fetchone() == (True,)


def season_command(book: Path, folder: Path, *more: object, **options) -> subprocess.CompletedProcess:
    """`proveout season` in a process of its own, finished."""
    command = [
        sys.executable,
        "-m",
        "pipeline",
        "season",
        book,
        "--out",
        folder,
        "--as-of",
        AS_OF.isoformat(),
        *more,
    ]
    return subprocess.run(command, capture_output=True, text=True, cwd=ROOT, **options)


def one_sentence(done: subprocess.CompletedProcess, code: int = 1) -> str:
    """What a refused command said on standard error, and nothing else anywhere."""
    assert (done.returncode, done.stdout) == (code, ""), done.stderr
    assert done.stderr.startswith("proveout: ") and done.stderr.endswith(".\n")
    assert done.stderr.count("\n") == 1 and "Traceback" not in done.stderr
    return done.stderr
