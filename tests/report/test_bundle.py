"""The chart library: kept once made, safe inside a script element."""

from unittest.mock import Mock

from pipeline.report.bundle import chart_bundle


def test_chart_bundle__is_made_once_and_then_read(tmp_path):
    make = Mock(return_value="const ends = /<\\/g; '</script>' + '<!-- x' + '</SCRIPT'")
    assert chart_bundle(tmp_path / "new", make) == chart_bundle(tmp_path / "new", make)
    assert make.call_count == 1
    assert [path.name for path in (tmp_path / "new").iterdir()] == ["charts.js"]


def test_chart_bundle__holds_nothing_that_ends_its_script(tmp_path):
    make = Mock(return_value="const ends = /</g; a('</script>', '<!--', '</SCRIPT')")
    text = chart_bundle(tmp_path, make).lower()
    assert "</script" not in text and "<!--" not in text
    assert "/</g" in text  # a regular expression must survive
