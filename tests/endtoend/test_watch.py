"""`season --watch`: a saved book makes a new run; a broken one is said and waited out; other runs have no part in it."""

import signal
import subprocess
import sys
import threading
from pathlib import Path

from click.testing import CliRunner

from pipeline import watching
from pipeline.cli import main
from pipeline.errors import RequestError
from pipeline.season import run_season
from tests.endtoend.small import AS_OF

ROOT = Path(__file__).resolve().parents[2]


def follow(stream):
    """Its lines by a thread, and a function that waits for one with these words."""
    lines, came = [], threading.Condition()

    def read():
        for line in stream:
            with came:
                lines.append(line)
                came.notify_all()

    threading.Thread(target=read, daemon=True).start()

    def wait_for(words, times=1):
        with came:
            assert came.wait_for(lambda: sum(words in line for line in lines) >= times, timeout=90), lines

    return wait_for


def test_season_watch__runs_again_when_the_book_is_saved(book):
    command = [
        sys.executable,
        "-u",
        "-m",
        "pipeline",
        "season",
        str(book),
        "--watch",
        "--as-of",
        AS_OF.isoformat(),
    ]
    options = {"stdout": subprocess.PIPE, "stderr": subprocess.STDOUT, "text": True}
    with subprocess.Popen(command, cwd=ROOT, **options) as running:
        try:
            wait_for = follow(running.stdout)
            wait_for("Waiting for the book")
            sound = book.read_bytes()
            book.write_bytes(b"half a file")
            wait_for("proveout: ")
            saved = book.with_name("saved.tmp")
            saved.write_bytes(sound)
            saved.replace(book)
            wait_for("Report: ", 2)
        finally:
            running.send_signal(signal.SIGINT)
        assert running.wait(timeout=30) == 130
    folder = book.with_name("small-season")
    stamp = (folder / "watched.svg").read_text()
    page = (folder / "report.html").read_text(encoding="utf-8")
    number = page.partition('data-watched="')[2].partition('"')[0]
    assert f'width="{number}"' in stamp and "img-src data: file:;" in page


def test_run_season__of_its_own_leaves_no_trace_of_a_watch(book):
    watched = run_season([book], as_of=AS_OF, watched=7).folder
    assert (watched / "watched.svg").exists()
    page = run_season([book], as_of=AS_OF).page
    assert not (watched / "watched.svg").exists()
    assert "watched" not in page.read_text(encoding="utf-8") and "img-src data:;" in page.read_text(
        encoding="utf-8"
    )


def test_season_watch__without_its_library_says_the_remedy(book, monkeypatch):
    monkeypatch.setattr(watching, "find_spec", lambda name: None)
    result = CliRunner().invoke(main, ["season", str(book), "--watch"])
    assert result.exit_code == RequestError.exit_code and "pip install watchfiles" in result.stderr
    assert not book.with_name("small-season").exists()


def test_saves__sees_what_was_saved_before_it_was_asked(book):
    waiting = watching.saves([book])
    book.write_bytes(book.read_bytes() + b" ")
    assert next(waiting) is None
    waiting.close()
