"""The chart library: kept once made, safe inside a script element."""

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
    assert [path.name for path in (tmp_path / "new").iterdir()] == ["charts.js"]


def test_chart_bundle__holds_nothing_that_ends_its_script(tmp_path):
    make, _ = made_once("const ends = /</g; a('</script>', '<!--', '</SCRIPT')")
    text = chart_bundle(tmp_path, make).lower()
    assert "</script" not in text and "<!--" not in text
    assert "/</g" in text  # a regular expression must survive
