"""A disk without room: on a small file system where one can be mounted, and by a limit on files everywhere."""

import os
import subprocess
import sys

import pytest

from tests.faults.standing import ROOT, beside, fingerprint, one_sentence, season_command

resource = pytest.importorskip("resource", reason="limits on files are a matter of Unix")


def limited(bytes_: int):
    """A process may write no file longer than that; more is refused as on a full disk."""
    return lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (bytes_, bytes_))


@pytest.mark.parametrize("bytes_", [0, 20_000, 200_000, 1_500_000])
def test_season__says_that_there_is_no_room(book, earlier, survives, bytes_):
    said = one_sentence(season_command(book, earlier, preexec_fn=limited(bytes_)))
    assert "can't be written" in said and "make room on that disk, or name another with --out" in said
    survives()


@pytest.fixture
def small_disk(tmp_path):
    """mounted(SIZE): a file system of that many bytes."""
    places = []

    def mounted(size: int):
        place = tmp_path / "disk"
        place.mkdir()
        done = subprocess.run(
            ["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", place], capture_output=True
        )
        if done.returncode:
            pytest.skip("no file system can be mounted here")
        places.append(place)
        return place

    if not sys.platform.startswith("linux") or os.geteuid():
        pytest.skip("only root on Linux mounts a file system")
    yield mounted
    for place in places:
        subprocess.run(["umount", place], check=True)


@pytest.mark.parametrize("share", [0.05, 0.3, 0.6, 0.8])
def test_season__a_full_disk_leaves_the_earlier_results(book, finished, small_disk, share):
    """The first run needs as much as the second, which has to stand beside it until it is whole."""
    needed = sum(path.stat().st_size for path in finished.rglob("*") if path.is_file())
    disk = small_disk(int(needed * (1 + share)))
    folder = disk / "season"
    assert season_command(book, folder).returncode == 0
    files = fingerprint(folder)
    said = one_sentence(season_command(book, folder))
    assert "make room on that disk" in said
    assert fingerprint(folder) == files and beside(folder) == []


def test_new__leaves_no_half_book_on_a_full_disk(small_disk):
    disk = small_disk(16_384)
    done = subprocess.run(
        [sys.executable, "-m", "pipeline", "new", disk / "made.xlsx", "--example"],
        capture_output=True,
        text=True,
        cwd=ROOT,
    )
    assert f"{disk / 'made.xlsx'} can't be written" in one_sentence(done)
    assert list(disk.iterdir()) == []


@pytest.mark.parametrize("room", [16_384, 65_536])
def test_new__says_once_that_the_folder_for_temporary_files_is_full(small_disk, tmp_path, room):
    disk = small_disk(room)
    done = subprocess.run(
        [sys.executable, "-m", "pipeline", "new", tmp_path / "made.xlsx"],
        capture_output=True,
        text=True,
        cwd=ROOT,
        env={**os.environ, "TMPDIR": str(disk)},
    )
    said = f"{disk} can't be written (no space left on device); make room on that disk, or have TMPDIR name another"
    assert said in one_sentence(done)
    assert not (tmp_path / "made.xlsx").exists()


def test_season__needs_no_room_for_temporary_files(book, tmp_path, small_disk):
    disk = small_disk(16_384)
    (disk / "full").write_bytes(bytes(12_288))
    done = season_command(book, tmp_path / "season", env={**os.environ, "TMPDIR": str(disk)})
    assert (done.returncode, done.stderr) == (0, "")
    assert [path.name for path in disk.iterdir()] == ["full"]


@pytest.mark.parametrize(
    "words", [("sheet", "BOOK", "B3", "--out", "OUT.html"), ("check", "BOOK", "--mark", "OUT.xlsx")]
)
def test_commands__leave_nothing_half_written(book, tmp_path, words):
    place = tmp_path / "elsewhere"
    place.mkdir()
    told = [word.replace("BOOK", str(book)).replace("OUT", str(place / "made")) for word in words]
    command = [sys.executable, "-m", "pipeline", *told]
    done = subprocess.run(command, capture_output=True, text=True, preexec_fn=limited(4_000), cwd=ROOT)
    assert done.returncode == 1 and "Traceback" not in done.stderr
    assert done.stderr.count("\n") == 1 and "can't be written" in done.stderr
    assert list(place.iterdir()) == []


@pytest.mark.parametrize(
    "words",
    [
        ("new", "PLACE.xlsx"), ("season", "BOOK", "--out", "PLACE"), ("sheet", "BOOK", "B3", "--out", "PLACE.html"),
        ("check", "BOOK", "--mark", "PLACE.xlsx"),
    ],
)  # fmt: skip
def test_commands__a_disk_that_may_only_be_read(book, small_disk, words):
    disk = small_disk(65_536)
    subprocess.run(["mount", "-o", "remount,ro", disk], check=True)
    told = [word.replace("BOOK", str(book)).replace("PLACE", str(disk / "made")) for word in words]
    done = subprocess.run([sys.executable, "-m", "pipeline", *told], capture_output=True, text=True, cwd=ROOT)
    assert done.returncode == 1 and "Traceback" not in done.stderr and done.stderr.count("\n") == 1
    assert f"{told[-1]} can't be written (read-only file system)" in done.stderr
