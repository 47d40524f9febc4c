"""How the seasons went: the share of eggs or young that lived, with its interval."""

import numpy as np
import pandas as pd
from scipy.special import ndtri


def season_summary(counts: pd.DataFrame) -> pd.DataFrame:
    """Each season and species with the share that lived (findings.season_summary, without `book`).

    `counts` are the rows of store/sql/season_summary.sql. The share is of all eggs or young, slugs included.
    """
    found = counts.copy()
    live, all_ = (found[column].to_numpy(dtype=float) for column in ("live", "eggs_or_young"))
    found["success"] = np.divide(live, all_, out=np.full(len(found), np.nan), where=all_ > 0)
    found["success_low"], found["success_high"] = wilson_interval(live, all_)
    return found


def wilson_interval(
    successes: np.ndarray, trials: np.ndarray, confidence: float = 0.95
) -> tuple[np.ndarray, np.ndarray]:
    """Low and high ends (0..1) of the score interval of each share (Wilson 1927); NaN where there are no trials."""
    z = float(ndtri(0.5 + confidence / 2))
    n = np.where(trials > 0, trials, np.nan)
    share = successes / n
    middle = (share + z**2 / (2 * n)) / (1 + z**2 / n)
    half = z / (1 + z**2 / n) * np.sqrt(share * (1 - share) / n + z**2 / (4 * n**2))
    return np.clip(middle - half, 0, 1), np.clip(middle + half, 0, 1)
