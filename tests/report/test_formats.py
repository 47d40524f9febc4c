"""How values are written on the page."""

from datetime import date

import pandas as pd
import pytest

from pipeline.report import formats


@pytest.mark.parametrize(
    "value, text",
    [
        (0.5, "0.50"),
        (0.0321, "0.032"),
        (0.00012, "0.00012"),
        (0.0001, "0.0001"),
        (0.00009, "<\u202f0.0001"),
        (0, "<\u202f0.0001"),
        (1, "1.00"),
    ],
)
def test_p_text__keeps_two_digits_and_never_says_nought(value, text):
    assert formats.p_text(value) == text


@pytest.mark.parametrize(
    "show",
    [formats.words, formats.counts, formats.percents, formats.dates, formats.p_values, formats.verdicts],
)
@pytest.mark.parametrize("missing", [None, float("nan"), pd.NA, pd.NaT])
def test_every_format__leaves_a_missing_value_empty(show, missing):
    assert show(pd.Series([missing], dtype=object)) == [""]


def test_dates__of_either_kind_are_iso():
    assert formats.dates(pd.Series([date(2026, 5, 3)], dtype=object)) == ["2026-05-03"]
    assert formats.dates(pd.Series([pd.Timestamp(2026, 5, 3)])) == ["2026-05-03"]


def test_money__is_never_nothing_where_there_is_a_price():
    column = pd.Series([1234.4, 9.96, 9.5, 0.425, 0.004, 0.0, None])
    assert formats.money(column) == ["1,234", "10", "9.5", "0.42", "0.004", "0", ""]


def test_counts_and_years__differ_in_their_separator():
    column = pd.Series([2026], dtype="Int64")
    assert (formats.counts(column), formats.years(column)) == (["2,026"], ["2026"])


def test_spans__closed_open_single_and_absent():
    spans = formats.spans(["a", "a", "a", ""], ["b", "", "a", ""], open_end="maybe never")
    assert spans == ["a to\u00a0b", "a to\u00a0maybe never", "a", ""]


@pytest.mark.parametrize(
    "text, said",
    [
        ("reading of B26-4.", 'reading of <span class="line">B26-4</span>.'),
        ("weighed on 2026-05-03 & later", 'weighed on <span class="line">2026-05-03</span> &amp; later'),
        ("a line-bred, half-grown one", "a line-bred, half-grown one"),
        ("x" * 30 + "-1", "x" * 30 + "-1"),
    ],
)
def test_unbroken__keeps_short_ids_and_days_on_a_line(text, said):
    assert formats.unbroken(text) == said


def test_day_ranges__mark_each_day_and_nothing_else():
    (said, plain) = formats.day_ranges(pd.Series(["2026-05-03 to\u00a0maybe <never>", ""]))
    assert said == '<span class="line">2026-05-03</span> to\u00a0maybe &lt;never&gt;' and plain == ""


def test_verdicts__are_marked_and_linked_and_strange_ones_escaped():
    known, strange = formats.verdicts(pd.Series(["departs", "<b>"]))
    assert 'href="#verdict-departs"' in known and "▲" in known
    assert strange == "&lt;b&gt;"


def test_day__reads_like_a_sentence():
    assert formats.day(date(2026, 5, 3)) == "3 May 2026"
