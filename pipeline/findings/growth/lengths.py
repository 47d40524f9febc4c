"""Weights reckoned from lengths, where an animal was measured and not weighed.

Weight goes with a power of length, w = a L^b (Le Cren 1951, J. Anim. Ecol. 20:201-219, citation from memory): a straight
line on logs, fitted to the book's own rows of that species which hold both.
"""

import numpy as np
import pandas as pd

from pipeline.findings.growth.weighings import BY_LENGTH, PLAIN

FEWEST_PAIRS = 8
"""Rows with weight and length that a species needs before its lengths are turned into weights."""
LEAST_RANGE = 1.5
"""The longest of them over the shortest, at least: a power can't be told from lengths that are all alike."""


def with_weights_by_length(points: pd.DataFrame, species: pd.Series) -> pd.DataFrame:
    """`points` (see weighing_points) with rows that hold a length alone given a weight, state 'by length', where the
    species allows it; `rough` is the variance of the log weight so reckoned. `species` goes by animal."""
    points = points.copy()
    kinds = points["animal"].map(species)
    dated = (points["state"] == PLAIN) & points["day"].notna() & (points["length_cm"] > 0)
    for kind in sorted(kinds[dated & points["weight_g"].isna()].dropna().unique()):
        both = points[dated & points["used"] & (kinds == kind)]
        alone = points.index[dated & points["weight_g"].isna() & (kinds == kind)]
        lengths = both["length_cm"].to_numpy()
        if len(both) < FEWEST_PAIRS or lengths.max() < LEAST_RANGE * lengths.min():
            continue
        logs, rough = weight_by_length(
            np.log(lengths),
            np.log(both["weight_g"].to_numpy()),
            np.log(points.loc[alone, "length_cm"].to_numpy()),
        )
        points.loc[alone, "weight_g"] = np.exp(logs)
        points.loc[alone, ["state", "used"]] = [BY_LENGTH, True]
        points.loc[alone, "rough"] = rough
    return points


def weight_by_length(
    log_lengths: np.ndarray, log_weights: np.ndarray, asked: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Log weights at log lengths `asked`, and the variance of prediction of each (ordinary least squares)."""
    centre = log_lengths.mean()
    across = ((log_lengths - centre) ** 2).sum()
    slope = ((log_lengths - centre) * (log_weights - log_weights.mean())).sum() / across
    residual = log_weights - log_weights.mean() - slope * (log_lengths - centre)
    variance = (residual**2).sum() / (len(log_lengths) - 2)
    value = log_weights.mean() + slope * (asked - centre)
    return value, variance * (1 + 1 / len(log_lengths) + (asked - centre) ** 2 / across)
