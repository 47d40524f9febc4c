"""The animals of a book with what decides when they may breed: the rules of species and sex, birth, litters."""

from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np
import pandas as pd

from pipeline.findings.frames import ordinal_days
from pipeline.genetics.genes import SEX_WORDS, Sex

HERE = frozenset({"keeping", "for sale", "on loan"})
"""Statuses of animals that may yet breed in this collection."""


@dataclass(frozen=True)
class Animal:
    """None where the book is silent. `target` is the breeding weight in g of its species and sex, `months` the breeding
    age. `rested` is the ordinal day from which she may breed again after the litters she had or expects (`litters`), `due`
    that of young still to come."""

    id: str
    species: str
    sex: Sex | None
    status: str
    born: date | None
    born_year: int | None
    target: float | None
    months: float | None
    litters: bool
    rested: float | None
    due: float | None

    @property
    def here(self) -> bool:
        """Whether it is still the keeper's to weigh and to breed."""
        return self.status in HERE


def read_animals(
    animals: pd.DataFrame, species: pd.DataFrame, calendar: pd.DataFrame, as_of: date
) -> list[Animal]:
    """Every row of the Animals sheet joined with its Species row and its litters in findings.calendar."""
    rules = {row["species"]: row for row in species.to_dict("records")}
    rested, due = _litters(calendar, as_of)
    born = ordinal_days(animals["born"])
    found = []
    told = animals[["id", "species", "sex", "status", "born_year"]]
    for record, day in zip(told.to_dict("records"), born, strict=True):
        sex = record["sex"] if record["sex"] in SEX_WORDS else None
        rule = rules.get(record["species"], {})
        side = SEX_WORDS[sex] if sex else ""
        found.append(
            Animal(
                id=record["id"],
                species=record["species"],
                sex=sex,
                status=record["status"] if isinstance(record["status"], str) else "keeping",
                born=None if np.isnan(day) else date.fromordinal(int(day)),
                born_year=None if pd.isna(record["born_year"]) else int(record["born_year"]),
                target=_number(rule.get(f"{side}_breeding_weight")),
                months=_number(rule.get(f"{side}_breeding_age")),
                litters=record["id"] in rested,
                rested=_number(rested.get(record["id"])),
                due=_number(due.get(record["id"])),
            )
        )
    return found


def _litters(calendar: pd.DataFrame, as_of: date) -> tuple[dict[str, float], dict[str, float]]:
    """By dam: the last day of rest after litters that came or are still due, and the day of those due.

    A pairing whose day has passed without young holds nobody back.
    """
    days = {name: ordinal_days(calendar[name]) for name in ("due_on", "born_on", "rested_on")}
    today = as_of.toordinal()
    had = days["born_on"] <= today
    coming = ~had & (days["due_on"] >= today)
    rested = days["rested_on"][had | coming].groupby(calendar["dam"]).max()
    due = days["due_on"][coming].groupby(calendar["dam"]).max()
    return rested.to_dict(), due.to_dict()


def _number(value: Any) -> float | None:
    return None if value is None or pd.isna(value) else float(value)
