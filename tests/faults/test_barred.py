"""Folders that may not be written, files that other programs hold, names that no system takes."""

import ctypes
import os
import subprocess
import sys
from pathlib import Path

import pytest

from pipeline.errors import RequestError
from pipeline.season import run_season
from pipeline.store import swap
from tests.endtoend.small import AS_OF
from tests.faults.standing import ROOT, beside, fingerprint, one_sentence, season_command

_DROP_FROM_BOUNDING_SET = 24
_DAC_OVERRIDE, _DAC_READ_SEARCH = 1, 2


def bound_by_permissions() -> None:
    """For a child: permission bits bind it even where it is root (prctl(2), capabilities(7))."""
    if os.geteuid() == 0:
        libc = ctypes.CDLL(None)
        for capability in (_DAC_OVERRIDE, _DAC_READ_SEARCH):
            libc.prctl(_DROP_FROM_BOUNDING_SET, capability, 0, 0, 0)


PERMISSIONS = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="permission bits of Linux")


@PERMISSIONS
@pytest.mark.parametrize("which", ["the results", "the folder they lie in"])
def test_season__a_folder_that_may_not_be_written(book, earlier, survives, which):
    folder = earlier if which == "the results" else earlier.parent
    folder.chmod(0o555)
    done = season_command(book, earlier, preexec_fn=bound_by_permissions)
    folder.chmod(0o755)
    assert (
        "can't be written (permission denied); close what has a file of it open, or name another"
        in one_sentence(done)
    )
    survives()


@PERMISSIONS
def test_season__a_book_that_may_not_be_read(book, earlier):
    Path(book).chmod(0)
    done = season_command(book, earlier, preexec_fn=bound_by_permissions)
    Path(book).chmod(0o644)
    assert "may not be opened; close it in Excel" in one_sentence(done, code=2)


@pytest.mark.parametrize("name", ["n" * 250, "n" * 300, "ü" * 150])
def test_season__a_folder_name_that_is_too_long(book, tmp_path, name):
    said = one_sentence(season_command(book, tmp_path / name))
    assert "can't be written (file name too long)" in said
    assert beside(tmp_path / name) == []


@pytest.mark.skipif(os.sep == "\\", reason="there a backslash is no part of a name")
@pytest.mark.parametrize("name", ["a\\b", "a\\b/season"])
def test_season__a_folder_with_a_backslash_in_its_name(book, tmp_path, name):
    """DuckDB takes it for a slash: the database would come to lie in another folder, perhaps over another's."""
    (tmp_path / "a" / "b").mkdir(parents=True)
    said = one_sentence(season_command(book, tmp_path / name))
    assert (
        f"The database can't be kept in {tmp_path / name}, for a backslash is part of that name; name" in said
    )
    assert [path.name for path in tmp_path.rglob("*") if path != Path(book)] == ["a", "b"]


def test_season__a_book_whose_name_leaves_no_room_for_the_folder_s(book, tmp_path):
    long = Path(book).rename(tmp_path / f"{'b' * 250}.xlsx")
    command = [sys.executable, "-m", "pipeline", "season", long, "--as-of", AS_OF.isoformat()]
    done = subprocess.run(command, capture_output=True, text=True, cwd=ROOT)
    assert "name another folder with --out" in one_sentence(done)
    assert season_command(long, tmp_path / "season").returncode == 0


HOLDING = """
import sys, duckdb
with duckdb.connect(sys.argv[1], read_only=sys.argv[2] == "reading"):
    print("open", flush=True)
    sys.stdin.read()
"""


def held(path, how):
    """Another program that has the database open until its input ends."""
    pipe = subprocess.PIPE
    other = subprocess.Popen([sys.executable, "-c", HOLDING, path, how], stdin=pipe, stdout=pipe, text=True)
    other.stdout.readline()
    return other


def test_season__its_database_open_for_writing_elsewhere(book, earlier, survives):
    with held(earlier / "season.duckdb", "writing") as other:
        said = one_sentence(season_command(book, earlier))
        other.communicate("")
    assert "is open in another program; close it there and run again" in said
    survives()


def test_season__its_database_read_elsewhere(book, earlier, survives):
    """Where folders can be exchanged the reader keeps the file it has, and the next one finds the new."""
    with held(earlier / "season.duckdb", "reading") as other:
        assert season_command(book, earlier).returncode == 0
        other.communicate("")
    assert beside(earlier) == []


@pytest.mark.parametrize("fails", [1, 2], ids=["moving the old aside", "moving the new in"])
def test_run_season__a_file_of_the_folder_open_as_windows_holds_it(
    book, earlier, survives, monkeypatch, fails
):
    """Windows renames no folder of which a file (findings.xlsx in Excel) is open: PermissionError."""
    rename, calls = Path.rename, []

    def refuse(self, target):
        if self in (earlier, earlier.parent / ".season.replaced") or ".making-" in self.name:
            calls.append(self)
            if len(calls) == fails:
                raise PermissionError(13, "Permission denied", str(self))
        return rename(self, target)

    files = fingerprint(earlier)
    with monkeypatch.context() as windows:
        windows.setattr(swap, "_exchanged", lambda one, other: False)
        windows.setattr(Path, "rename", refuse)
        with pytest.raises(RequestError, match="close what has a file of it open, or name another folder"):
            run_season([book], earlier, as_of=AS_OF)
    assert fingerprint(earlier) == files and beside(earlier) == []
    survives()


@pytest.mark.parametrize("marker", ["~$small.xlsx", ".~lock.small.xlsx#"])
def test_commands__say_that_a_book_is_open_elsewhere(book, tmp_path, marker):
    (tmp_path / marker).write_bytes(b"x" * 165)
    command = [sys.executable, "-m", "pipeline", "check", book, "--as-of", AS_OF.isoformat()]
    done = subprocess.run(command, capture_output=True, text=True, cwd=ROOT)
    assert done.returncode == 0
    assert (
        done.stderr
        == "proveout: small.xlsx is open in Excel or LibreOffice; what is not saved there yet is not read.\n"
    )
