"""How shares are written in sentences, in tables and on the screen."""

from fractions import Fraction

import numpy as np
import pandas as pd
import pytest

from pipeline.findings.shares import halved, in_percent, percent, signed
from pipeline.report.cross_text import percent_and_share
from pipeline.report.formats import changes, percents

NEAR = [*np.geomspace(1e-8, 0.5, 400)]


@pytest.mark.parametrize(
    ("share", "text"),
    [(0, "0 %"), (0.0004, "under 0.1 %"), (0.004, "0.4 %"), (0.06, "6 %"), (0.255, "26 %"), (0.996, "99.6 %"),
     (0.9995, "over 99.9 %"), (0.99999, "over 99.9 %"), (1, "100 %")],
)  # fmt: skip
def test_percent__never_claims_certainty(share, text):
    assert percent(share) == text


@pytest.mark.parametrize(
    "written",
    [
        percent,
        in_percent,
        lambda share: percents(pd.Series([share]))[0],
        lambda share: percent_and_share(Fraction(share))[1],
    ],
)
def test_every_writer_of_shares__keeps_none_and_all_to_what_is_so(written):
    plain = {share: written(share).replace("\u202f", " ") for share in (0.0, *NEAR, *(1 - p for p in NEAR), 1.0)}
    assert (plain.pop(0.0), plain.pop(1.0)) == ("0 %", "100 %")
    assert plain and not {"0 %", "0.0 %", "100 %", "100.0 %"} & set(plain.values())


def test_halved__has_the_decimals_of_halves_of_halves():
    assert [halved(share) for share in (0.25, 0.125, 5 / 16, 3 / 32)] == ["25 %", "12.5 %", "31.25 %", "9.375 %"]


def test_changes__have_a_sign_where_there_is_a_change():
    column = pd.Series([0.12, -0.034, 0.004, -0.004, 0.0, None])
    assert [signed(share) for share in column[:5]] == ["+12 %", "-3 %", "0 %", "0 %", "0 %"]
    assert changes(column) == ["+12\u202f%", "-3\u202f%", "0\u202f%", "0\u202f%", "0\u202f%", ""]


def test_percents__are_whole_in_a_table():
    column = pd.Series([0.004, 0.0625, 0.664, 0.996, None])
    assert percents(column) == ["<\u202f1\u202f%", "6\u202f%", "66\u202f%", ">\u202f99\u202f%", ""]
