"""What the counting queries count: young for the ratios, sexes, seasons and the calendar."""

from datetime import date

import pandas as pd
import pytest

from pipeline.store.database import Store
from pipeline.store.tables import findings_table

AS_OF = date(2026, 7, 1)


@pytest.fixture
def store():
    with Store() as opened:
        yield opened


def rows(**columns):
    """A table of one book from columns; a scalar is repeated."""
    frame = pd.DataFrame(columns)
    return frame.assign(book="b.xlsx", sheet="any", row=range(2, len(frame) + 2))


def fill(store, hatch, animals=None, species=None, **pairing):
    parents = pd.DataFrame({"id": ["D", "S"], "species": ["Corn", "Corn"], "sex": ["F", "M"]})
    known = pd.concat([parents, pd.DataFrame(animals or [])], ignore_index=True).to_dict("list")
    pairings = {"pairing": ["P"], "season": [2024], "dam": ["D"], "sire": ["S"]} | {
        k: [v] for k, v in pairing.items()
    }
    store.load(
        {
            "animals": rows(**known),
            "pairings": rows(**pairings),
            "hatch_results": rows(**pd.DataFrame(hatch).to_dict("list")),
        }
    )
    if species:
        store.load({"species": rows(**{k: [v] for k, v in ({"species": "Corn"} | species).items()})})


def counts(store):
    return store.query("young_counts", book="b.xlsx", as_of=AS_OF)


def test_young_counts__blank_count_clutch_and_outcome_take_their_defaults(store):
    fill(
        store,
        [{"pairing": "P", "genes": "normal"}, {"pairing": "P", "genes": "normal", "count": 3, "clutch": 1}],
    )
    (row,) = counts(store).to_dict("records")
    assert (row["clutch"], row["young"], row["genes"]) == (1, 4, "normal")


def test_young_counts__slugs_and_young_nobody_looked_at_are_left_out(store):
    fill(
        store,
        [
            {"pairing": "P", "genes": "Amel", "outcome": "slug", "count": 2},
            {"pairing": "P", "genes": None, "outcome": "stillborn", "count": 4},
            {"pairing": "P", "genes": "Amel", "outcome": "stillborn", "count": 1},
            {"pairing": "P", "genes": "Amel", "outcome": "died in egg", "count": 1},
        ],
    )
    assert counts(store)["young"].tolist() == [2]


def test_young_counts__the_label_of_the_animal_replaces_its_hatch_row(store):
    fill(
        store,
        [{"pairing": "P", "genes": "normal", "animal": "Y", "sex": None}],
        animals=[
            {"id": "Y", "species": "Corn", "sex": "F", "genes": "Amel", "born": pd.Timestamp("2026-05-01")}
        ],
    )
    (row,) = counts(store).to_dict("records")
    assert (row["genes"], row["sex"], row["grown"], row["young"]) == ("Amel", "F", False, 1)


def test_young_counts__an_animal_without_label_counts_by_its_hatch_row(store):
    fill(
        store, [{"pairing": "P", "genes": "normal", "animal": "Y"}], animals=[{"id": "Y", "species": "Corn"}]
    )
    (row,) = counts(store).to_dict("records")
    assert (row["genes"], row["grown"]) == ("normal", False)


@pytest.mark.parametrize(
    ("born", "months", "grown"),
    [
        ("2024-07-01", None, True),
        ("2024-07-02", None, False),
        ("2024-07-01", 30, False),
        ("2024-01-01", 30, True),
    ],
)
def test_young_counts__grown_at_breeding_age_else_at_24_months(store, born, months, grown):
    fill(
        store,
        [{"pairing": "P", "genes": "normal", "animal": "Y", "unreadable": "Amel"}],
        animals=[{"id": "Y", "species": "Corn", "sex": "F", "genes": "Amel", "born": pd.Timestamp(born)}],
        species={"female_breeding_age": months},
    )
    (row,) = counts(store).to_dict("records")
    assert row["grown"] == grown
    assert (row["unreadable"] == "Amel") == (not grown)


def test_young_counts__a_bare_year_of_birth_counts_from_its_last_day(store):
    fill(
        store,
        [{"pairing": "P", "genes": "normal", "animal": y} for y in ("Y", "Z")],
        animals=[
            {"id": "Y", "species": "Corn", "genes": "Amel", "born_year": 2023},
            {"id": "Z", "species": "Corn", "genes": "Amel", "born_year": 2024},
        ],
    )
    assert counts(store)["grown"].tolist() == [False, True]


def test_young_counts__other_books_are_left_alone(store):
    fill(store, [{"pairing": "P", "genes": "normal"}])
    assert store.query("young_counts", book="other.xlsx", as_of=AS_OF).empty


def test_sex_counts__by_clutch_pairing_and_species(store):
    fill(
        store,
        [
            {"pairing": "P", "sex": "M", "count": 3, "clutch": 1},
            {"pairing": "P", "sex": "F", "count": 2, "clutch": 2},
            {"pairing": "P", "sex": None, "count": 9, "clutch": 2},
            {"pairing": "P", "sex": "F", "count": 5, "clutch": 2, "outcome": "slug"},
        ],
    )
    found = store.query("sex_counts", book="b.xlsx")
    assert found[["scope", "males", "females"]].values.tolist() == [
        ["clutch", 3, 0],
        ["clutch", 0, 2],
        ["pairing", 3, 2],
        ["species", 3, 2],
    ]
    assert found["pairing"].isna().tolist() == [False, False, False, True]


def test_season_summary__counts_every_outcome_and_pairings_without_young(store):
    fill(
        store,
        [
            {"pairing": "P", "count": 7, "outcome": None},
            {"pairing": "P", "count": 1, "outcome": "stillborn"},
            {"pairing": "P", "count": 2, "outcome": "slug", "clutch": 2},
            {"pairing": "P", "count": None, "outcome": "died in egg", "clutch": 2},
        ],
    )
    store.load({"pairings": rows(pairing=["Q"], season=[2024], dam=["D"], sire=["S"])})
    (row,) = store.query("season_summary", book="b.xlsx").to_dict("records")
    assert row == {
        "season": 2024,
        "species": "Corn",
        "pairings": 2,
        "clutches": 2,
        "eggs_or_young": 11,
        "live": 7,
        "stillborn": 1,
        "died_in_egg": 1,
        "slugs": 2,
    }


CALENDARS = [
    ("live", {"ovulated_or_laid": pd.Timestamp("2026-03-01")}, None, ("2026-06-09", None, "2027-12-09")),
    (
        "live",
        {"ovulated_or_laid": pd.Timestamp("2026-03-01")},
        "2026-06-01",
        ("2026-06-09", "2026-06-01", "2027-12-01"),
    ),
    (
        "eggs",
        {"ovulated_or_laid": pd.Timestamp("2026-03-01")},
        "2026-06-01",
        ("2026-06-09", "2026-06-01", "2027-09-01"),
    ),
    ("eggs", {}, "2026-06-09", (None, "2026-06-09", "2027-09-01")),
]


@pytest.mark.parametrize(("kind", "pairing", "came", "expected"), CALENDARS)
def test_calendar__due_came_and_rested(store, kind, pairing, came, expected):
    fill(
        store,
        [{"pairing": "P", "date": pd.Timestamp(came) if came else pd.NaT, "genes": "normal"}],
        species={"young": kind, "days_to_young": 100.0, "rest_between_litters": 18.0},
        **pairing,
    )
    (row,) = store.query("calendar", book="b.xlsx").to_dict("records")
    assert (
        tuple(None if pd.isna(row[c]) else str(row[c])[:10] for c in ("due_on", "born_on", "rested_on"))
        == expected
    )


def test_calendar__columns_are_the_registrys(store):
    fill(store, [{"pairing": "P", "date": pd.Timestamp("2026-06-01")}])
    found = store.query("calendar", book="b.xlsx")
    assert ["book", *found.columns] == findings_table("calendar").names
    store.save("calendar", found.assign(book="b.xlsx"))
