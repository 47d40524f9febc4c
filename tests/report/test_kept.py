"""What is kept between runs: made once, made anew where it no longer holds, never half."""

from unittest.mock import Mock

import pytest

import pipeline.report.kept
from pipeline.report.kept import find, keep, kept, sources
from pipeline.report.templating import environment


def test_kept__is_made_once_for_what_it_depends_on(tmp_path):
    make = Mock(return_value=b"made")
    assert [kept("a.js", of, make, tmp_path / "new") for of in ("1", "1", "2", "2")] == [b"made"] * 4
    assert make.call_count == 2
    assert [path.name for path in (tmp_path / "new").iterdir()] == ["a.js"]


@pytest.mark.parametrize("broken", [b"", b"half a fi", b"\xff\xfe\x00"])
def test_kept__a_broken_copy_is_made_anew(tmp_path, broken):
    make = Mock(return_value=b"made")
    kept("a.js", "1", make, tmp_path)
    (tmp_path / "a.js").write_bytes(broken)
    assert kept("a.js", "1", make, tmp_path) == kept("a.js", "1", make, tmp_path) == b"made"
    assert make.call_count == 2


def test_find__not_what_lost_its_end(tmp_path):
    keep("a.js", "1", b"made\nof lines\n", tmp_path)
    assert find("a.js", "1", tmp_path) == b"made\nof lines\n"
    (tmp_path / "a.js").write_bytes((tmp_path / "a.js").read_bytes()[:-3])
    assert find("a.js", "1", tmp_path) is None


def test_kept__a_cache_that_cannot_be_written_costs_nothing_else(tmp_path):
    (tmp_path / "file").write_text("in the way")
    make = Mock(return_value=b"made")
    assert kept("a.js", "1", make, tmp_path / "file" / "cache") == b"made"


def test_sources__change_with_any_of_the_files(tmp_path):
    paths = [tmp_path / name for name in ("a.py", "b.py")]
    for path in paths:
        path.write_text("x = 1")
    before = sources(paths)
    assert sources(paths) == before
    paths[1].write_text("x = 2")
    assert sources(paths) != before


def test_environment__compiles_a_template_once(tmp_path, monkeypatch):
    monkeypatch.setattr(pipeline.report.kept, "_cache", lambda: tmp_path)
    compiled = environment.__wrapped__().get_template("page.html").root_render_func.__code__
    assert (tmp_path / "page.html").exists()
    again = environment.__wrapped__()
    monkeypatch.setattr(again, "_generate", None)  # not asked again
    assert again.get_template("page.html").root_render_func.__code__ == compiled
