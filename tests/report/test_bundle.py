"""The chart library: kept once made, made anew where the kept copy is no good, safe inside a script element."""

import pytest

from pipeline.report.bundle import chart_bundle


def made_once(text="const ends = /<\\/g; '</script>' + '<!-- x' + '</SCRIPT'"):
    calls = []

    def make():
        calls.append(1)
        return text

    return make, calls


def test_chart_bundle__is_made_once_and_then_read(tmp_path):
    make, calls = made_once()
    assert chart_bundle(tmp_path / "new", make) == chart_bundle(tmp_path / "new", make)
    assert len(calls) == 1
    assert [path.suffix for path in (tmp_path / "new").iterdir()] == [".js"]


def test_chart_bundle__holds_nothing_that_ends_its_script(tmp_path):
    make, _ = made_once("const ends = /</g; a('</script>', '<!--', '</SCRIPT')")
    text = chart_bundle(tmp_path, make).lower()
    assert "</script" not in text and "<!--" not in text
    assert "/</g" in text  # a regular expression must survive


@pytest.mark.parametrize("broken", [b"", b"half a fi", b"\xff\xfe\x00"])
def test_chart_bundle__a_broken_copy_is_made_anew(tmp_path, broken):
    make, calls = made_once()
    chart_bundle(tmp_path, make)
    (kept,) = tmp_path.iterdir()
    kept.write_bytes(broken)
    assert chart_bundle(tmp_path, make) and len(calls) == 2
    assert chart_bundle(tmp_path, make) and len(calls) == 2


def test_chart_bundle__a_cache_that_cannot_be_written_costs_nothing_else(tmp_path):
    (tmp_path / "file").write_text("in the way")
    make, _ = made_once()
    assert "const ends" in chart_bundle(tmp_path / "file" / "cache", make)
