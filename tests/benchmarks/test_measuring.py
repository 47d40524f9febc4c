"""What the benchmark table says of measurements, and what it is held to."""

import pytest

from tests.benchmarks.__main__ import STAGES, measured
from tests.benchmarks.measuring import Row, exponent, seconds, table


def invented(power: float, size: int) -> Row:
    return Row("making", size, "things", 0.5 * size**power, "by hand", 2.0 * size**power)


@pytest.mark.parametrize("power", [0.5, 1.0, 2.0])
def test_exponent__of_a_power_law_is_its_power(power):
    assert exponent([invented(power, size) for size in (10, 100, 5_000)]) == pytest.approx(power)


def test_table__has_a_line_a_stage_with_ratios_and_exponent():
    lines = table([invented(1, size) for size in (10, 100, 5_000)]).splitlines()
    assert lines[2:] == ["| making | 10, 100, 5,000 things | by hand | 4, 4, 4 | 1.00 |"]


def test_seconds__takes_the_least_of_a_few_runs():
    ran = []
    assert seconds(lambda: ran.append(1), times=4) > 0
    assert len(ran) == 4


AT_LEAST = {
    ("reading", "openpyxl, cells alone"): 1.5,
    ("reading", "python-calamine, cells alone"): 0.1,
    ("reading and checking", "openpyxl, cells alone"): 0.7,
    ("counting young", "pandas"): 0.7,
    ("exact tests", "scipy.stats in a loop"): 10,
    ("growth curves", "scipy's curve_fit in a loop"): 1,
    ("charts of a page", "altair, chart by chart"): 4,
}
"""Times as fast as the other library at every size, with room for a noisy machine."""
STEEPEST = 1.25
"""Cost grows no faster than the work."""


@pytest.mark.benchmark
@pytest.mark.parametrize("stage", [one for one in STAGES if one not in ("carriers", "kinship")])
def test_stage__keeps_its_ratio_and_grows_no_faster_than_the_work(stage):
    groups: dict = {}
    for row in measured(stage):
        groups.setdefault((row.stage, row.other), []).append(row)
    for key, own in groups.items():
        assert min(row.ratio for row in own) >= AT_LEAST[key], own
        assert exponent(own) <= STEEPEST, own
