"""Invented ways to goals, as findings hold them."""

import pandas as pd

from pipeline.findings.frames import own_names
from pipeline.store.tables import GOAL_OUTLOOK, GOAL_ROUTES


def steps():
    """A double visual by way of two double hets."""
    rows = [
        (1, 2027, "F1", "M1", "Normal, het Ash Fog", "F", 0.5, 5, 1.0, 2027, 2031),
        (2, 2027, "F1", "M1", "Normal, het Ash Fog", "M", 0.5, 5, 1.0, 2027, 2030),
        (3, 2031, "young of step 1", "young of step 2", "Ash Fog", None, 1 / 16, 47, 0.62, 2031, None),
    ]
    names = ["step", "season", "dam", "sire", "keep_label", "keep_sex", "probability_one", "young_for_95"]
    frame = pd.DataFrame(rows, columns=[*names, "probability_by_litter", "born", "ready"])
    more = {
        "goal": "Double",
        "species": "Boa",
        "route": 1,
        "right_share": 1.0,
        "litters": 1.6,
        "f_young": 0.25,
    }
    frame = frame.assign(**more, note=["", "", "A word."])
    return frame[own_names(GOAL_ROUTES)].assign(book="invented.xlsx")


def outlook():
    """Its row of goal_outlook."""
    row = {
        "goal": "Double", "species": "Boa", "label": "Ash Fog", "route": 1, "way": "quickest", "steps": 3, "season": 2031,
        "years": 4.7, "years_low": 4.7, "years_high": 8.7, "p_ever": 0.97, "wanted_by": 2034, "p_by_wanted": 0.86,
        "f_most": 0.25, "note": "",
    }  # fmt: skip
    return pd.DataFrame([row])[own_names(GOAL_OUTLOOK)].assign(book="invented.xlsx")


def route_tables():
    return steps(), outlook()


def no_route():
    return steps().iloc[:0], outlook().iloc[:0]
