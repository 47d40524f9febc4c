"""Are daughters and sons as many as each other? Exact binomial tests against one to one."""

import numpy as np
import pandas as pd
from scipy.special import bdtr

from pipeline.findings.ratios.verdicts import Verdict, benjamini_hochberg

COLUMNS = ["species", "scope", "pairing", "clutch", "males", "females", "p", "q", "verdict"]


def sex_ratios(counts: pd.DataFrame, level: float) -> pd.DataFrame:
    """Each clutch, pairing and species against 1:1 (findings.sex_ratios, without `book`).

    `counts` are the rows of store/sql/sex_counts.sql. p is two-sided; q is adjusted within each scope, since the scopes
    test the same young again. 'too few' where even all of one sex would not reach the level.
    """
    found = counts.copy()
    males, females = (found[sex].to_numpy(dtype=float) for sex in ("males", "females"))
    found["p"] = equal_sexes_p(males, females)
    found["q"] = np.nan
    for rows in found.groupby("scope").indices.values():
        found.iloc[rows, found.columns.get_loc("q")] = benjamini_hochberg(found["p"].to_numpy()[rows])
    p, q = found["p"].to_numpy(), found["q"].to_numpy()
    found["verdict"] = np.select(
        [(p < level) & (q < level), p < level, 2 * 0.5 ** (males + females) >= level],
        [str(Verdict.DEPARTS), str(Verdict.STRAINED), str(Verdict.TOO_FEW)],
        str(Verdict.FITS),
    )
    return found[COLUMNS]


def equal_sexes_p(males: np.ndarray, females: np.ndarray) -> np.ndarray:
    """Two-sided exact binomial p-values of one to one, one for each pair of counts; 1 where nothing was sexed.

    The binomial with 1/2 is symmetric, so the p-value is twice the smaller tail.
    """
    return np.minimum(1.0, 2 * bdtr(np.minimum(males, females), (males + females).astype(np.int64), 0.5))
