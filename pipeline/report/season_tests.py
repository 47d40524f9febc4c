"""The ratio tests as the page reads them: the season's, the other seasons', and each gene's, worst first."""

from dataclasses import dataclass

import pandas as pd

from pipeline.report.context import Context
from pipeline.report.verdicts import VERDICTS

_NAMES = ["book", "species", "pairing", "clutch", "gene"]
"""What settles the order of tests that are alike in all else."""


@dataclass(frozen=True)
class SeasonTests:
    """Rows of findings.ratio_tests with their `season`; a pairing without a season is shown, never hidden."""

    now: pd.DataFrame
    before: pd.DataFrame
    genes: pd.DataFrame


def season_tests(context: Context) -> SeasonTests:
    """The tests of the page's season apart from the others."""
    tests = _ranked(context.with_season(context.table("ratio_tests")))
    crosses = tests[tests["scope"] != "gene"]
    current = context.is_current(crosses["season"])
    return SeasonTests(crosses[current], crosses[~current], tests[tests["scope"] == "gene"])


def pooled(tests: pd.DataFrame) -> pd.DataFrame:
    """One row a pairing, its clutches together: all genes jointly, or the worst gene where they are too many for that."""
    tests = tests[tests["scope"] == "pairing"]
    joint = tests["gene"].isna()
    told = joint.groupby([tests["book"], tests["pairing"]]).transform("any")
    worst = ~tests[~told].duplicated(["book", "pairing"])
    return tests[joint | worst.reindex(tests.index, fill_value=False)]


def without_echoes(tests: pd.DataFrame) -> pd.DataFrame:
    """The tests without those of the only clutch of a pairing, which say what the pairing's say."""
    clutches = tests.groupby(["book", "pairing"])["clutch"].transform("nunique")
    return tests[(tests["scope"] != "clutch") | (clutches > 1)]


def _ranked(tests: pd.DataFrame) -> pd.DataFrame:
    """Worst verdict first, then by p; of equals the widest test first."""
    rank = tests["verdict"].map({one.word: one.rank for one in VERDICTS}).fillna(len(VERDICTS))
    joint = tests.assign(_rank=rank, _wide=tests["scope"] != "pairing", _part=tests["gene"].notna())
    order = joint.sort_values(["_rank", "p", "_wide", "_part", *_NAMES], kind="stable")
    return order.drop(columns=["_rank", "_wide", "_part"])
