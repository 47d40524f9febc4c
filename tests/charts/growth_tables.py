"""Small findings tables of an invented animal and an invented morph, for the charts of growth and prices."""

import numpy as np
import pandas as pd

from pipeline.findings.frames import as_dates, findings_frame
from pipeline.store.tables import (
    GENE_PREMIUMS,
    GROWTH,
    GROWTH_CURVES,
    GROWTH_POINTS,
    PRICE_BANDS,
    PRICE_POINTS,
    PRICE_TRENDS,
)

_START = pd.Timestamp(2024, 1, 1).toordinal()


def growth_tables() -> tuple[pd.DataFrame, pd.DataFrame, pd.DataFrame]:
    """The row, curve and weighings of one female, one of them gravid."""
    day = _START + np.arange(0, 900, 90.0)
    weight = np.linspace(100, 1700, 10)
    row = {
        "species": "Common boa", "animal": "B1", "sex": "F", "curve": "Gompertz", "n": 10, "latest_g": 1700.0,
        "latest_on": day[-1], "target_g": 1800.0, "ready_on": day[-1] + 60, "ready_early": day[-1] + 20, "p_ready": 0.7,
        "blocked_by": "weight",
    }  # fmt: skip
    curves = pd.DataFrame(
        {"animal": "B1", "on": as_dates(day), "weight_g": weight, "low_g": weight * 0.9, "high_g": weight * 9}
    )
    state = ["plain"] * 9 + ["gravid"]
    points = pd.DataFrame({"animal": "B1", "on": as_dates(day), "weight_g": weight, "state": state, "used": [s == "plain" for s in state]})  # fmt: skip
    return findings_frame(GROWTH, [row]).assign(book="invented.xlsx"), curves, points


def price_tables() -> tuple[pd.DataFrame, pd.DataFrame, pd.DataFrame]:
    """The row, prices and band of one morph."""
    day = _START + np.arange(0, 900, 90.0)
    price = np.linspace(300, 200, 10)
    names = {"species": "Common boa", "morph": "Motley", "currency": "USD", "kind": "both"}
    row = names | {
        "n": 10, "turned_on": day[6], "turned_low": day[5], "turned_high": day[8], "asked_scale": 0.8, "change_per_year": -0.1, "change_low": -0.15, "change_high": -0.05, "direction": "falling",
    }  # fmt: skip
    offer = ["asked", "sold"] * 5
    points = pd.DataFrame(names | {"on": as_dates(day), "offer": offer, "price": price, "scaled": price})
    bands = pd.DataFrame(names | {"on": as_dates(day), "price": price, "low": price - 30, "high": price + 30})
    return findings_frame(PRICE_TRENDS, [row]), points, bands


def premium_tables() -> tuple[pd.DataFrame]:
    """Genes of one species: one that can be told, one het, and two that can't be told apart."""
    names = {"species": "Common boa", "currency": "USD", "n": 12, "note": ""}
    tied = names | {"standing": "shows", "note": "can't tell it apart"}
    rows = [
        names | {"gene": "Motley", "standing": "shows", "factor": 2.5, "factor_low": 1.8, "factor_high": 3.4},
        names | {"gene": "Anery", "standing": "het", "factor": 1.1, "factor_low": 0.9, "factor_high": 1.4},
        names
        | {"gene": "Hypo", "standing": "two copies", "factor": 4.0, "factor_low": 2.0, "factor_high": 8.0},
        tied | {"gene": "Rust", "factor": 1.7, "factor_low": 0.7, "factor_high": 3.9},
    ]
    return (findings_frame(GENE_PREMIUMS, rows),)


def no_premiums() -> tuple[pd.DataFrame]:
    return (findings_frame(GENE_PREMIUMS, []),)


def no_growth() -> tuple[pd.DataFrame, pd.DataFrame, pd.DataFrame]:
    return findings_frame(GROWTH, []), findings_frame(GROWTH_CURVES, []), findings_frame(GROWTH_POINTS, [])


def no_prices() -> tuple[pd.DataFrame, pd.DataFrame, pd.DataFrame]:
    return findings_frame(PRICE_TRENDS, []), findings_frame(PRICE_POINTS, []), findings_frame(PRICE_BANDS, [])
