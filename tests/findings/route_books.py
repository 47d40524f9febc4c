"""Small invented herds with goals, and what the routes' question answers on them."""

import pandas as pd

from pipeline.findings.pairs.breeding import Breeding
from pipeline.findings.routes import RouteFindings, route_findings
from pipeline.genetics.carriers.odds import carriers
from tests.findings.pair_books import AS_OF

SPECIES = {
    "species": "Boa", "young": "live", "female_breeding_age": 36.0, "male_breeding_age": 24.0, "days_to_young": 110.0,
    "rest_between_litters": 18.0, "typical_litter": 15.0,
}  # fmt: skip


def growth(**ready_on):
    """The growth table: an animal's first ready day; None: never by its curve."""
    rows = [
        {
            "animal": name,
            "ready_on": pd.NaT if day is None else pd.Timestamp(day),
            "p_ready": float(day is not None),
        }
        for name, day in ready_on.items()
    ]
    return pd.DataFrame(rows, columns=["animal", "ready_on", "p_ready"])


def records_of(goals, rule=SPECIES):
    """The records that routes are read from; goals are (name, label) or (name, label, year)."""
    wanted = [
        {
            "goal": name, "species": "Boa", "genes": label, "priority": number, "wanted_by": pd.NaT,
            "wanted_by_year": year[0] if year else None,
        }
        for number, (name, label, *year) in enumerate(goals, start=1)
    ]  # fmt: skip
    columns = ["goal", "species", "genes", "priority", "wanted_by", "wanted_by_year"]
    return {"species": pd.DataFrame([rule]), "goals": pd.DataFrame(wanted, columns=columns)}


def routes_of(collection, *goals, weighed=None, rule=SPECIES, as_of=AS_OF) -> RouteFindings:
    """The tables, goals as for `records_of`."""
    weighed = growth() if weighed is None else weighed
    breeding = Breeding.of(collection, carriers(collection))
    return route_findings(breeding, records_of(goals, rule), weighed, as_of=as_of)


def notes_of(found, kind=None):
    """The sentences of goal_notes, of one kind."""
    rows = found.notes
    return rows["note"].tolist() if kind is None else rows.loc[rows["kind"] == kind, "note"].tolist()
