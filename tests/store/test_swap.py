"""The results folder is replaced whole or not at all."""

import signal
import subprocess
import sys
import textwrap

import pytest

from pipeline.errors import RequestError
from pipeline.store import swap
from pipeline.store.swap import MARK, swapped_in


def fill(target, text):
    with swapped_in(target) as making:
        (making / MARK).write_text(text)


def test_swapped_in__replaces_the_earlier_results(tmp_path):
    target = tmp_path / "out"
    fill(target, "first")
    fill(target, "second")
    assert (target / MARK).read_text() == "second"
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


@pytest.mark.parametrize("exchange", [True, False])
def test_swapped_in__carries_the_keepers_own_files_over(tmp_path, monkeypatch, exchange):
    if not exchange:
        monkeypatch.setattr(swap, "_exchanged", lambda one, other: False)
    target = tmp_path / "out"
    fill(target, "first")
    (target / "my notes.txt").write_text("keep me")
    fill(target, "second")
    assert (target / "my notes.txt").read_text() == "keep me"
    assert (target / MARK).read_text() == "second"


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such permissions")
def test_swapped_in__a_folder_kept_private_stays_so(tmp_path):
    target = tmp_path / "out"
    fill(target, "first")
    target.chmod(0o700)
    fill(target, "second")
    assert target.stat().st_mode & 0o777 == 0o700


def test_swapped_in__leaves_the_earlier_results_when_the_run_fails(tmp_path):
    target = tmp_path / "out"
    fill(target, "first")
    with pytest.raises(ZeroDivisionError), swapped_in(target) as making:
        (making / MARK).write_text("half")
        raise ZeroDivisionError
    assert (target / MARK).read_text() == "first"
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_swapped_in__leaves_the_earlier_results_when_the_run_is_killed(tmp_path):
    target = tmp_path / "out"
    fill(target, "first")
    script = textwrap.dedent(f"""
        import os, signal
        from pathlib import Path
        from pipeline.store.swap import swapped_in
        with swapped_in(Path({str(target)!r})) as making:
            (making / "season.duckdb").write_text("half")
            os.kill(os.getpid(), signal.SIGKILL)
    """)
    assert subprocess.run([sys.executable, "-c", script], check=False).returncode == -signal.SIGKILL
    assert (target / MARK).read_text() == "first"


def test_swapped_in__restores_what_a_run_killed_while_renaming_had_moved_aside(tmp_path):
    target = tmp_path / "out"
    fill(target, "first")
    target.rename(tmp_path / ".out.replaced")
    with pytest.raises(ZeroDivisionError), swapped_in(target):
        raise ZeroDivisionError
    assert (target / MARK).read_text() == "first"


def test_swapped_in__refuses_a_folder_of_other_files(tmp_path):
    (tmp_path / "letter.txt").write_text("dear all")
    with pytest.raises(RequestError, match="holds other files"), swapped_in(tmp_path):
        pass


def test_swapped_in__refuses_a_file(tmp_path):
    (tmp_path / "out").write_text("a file")
    with pytest.raises(RequestError, match="is a file"), swapped_in(tmp_path / "out"):
        pass
