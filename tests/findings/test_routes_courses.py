"""Ways whose courses hardly arrive, and the days on which young come in seasons that begin in summer."""

from datetime import date, timedelta

import pytest

from pipeline.findings.growth.readiness import add_months
from pipeline.findings.pairs.season import into_season
from pipeline.findings.routes.timing import seasons
from pipeline.genetics.genes import Catalogue, SexChromosomes
from tests.findings.pair_books import GENES, animal, book, gene, pairing
from tests.findings.route_books import SPECIES, notes_of, routes_of

QUICK = SPECIES | {
    "young": "eggs", "female_breeding_age": 6.0, "male_breeding_age": 6.0, "days_to_young": 20.0,
    "rest_between_litters": 1.0, "typical_litter": 30.0,
}  # fmt: skip


def test_route_findings__a_way_of_which_no_course_arrives_is_out_of_reach():
    """Three hets of 14 % must all be hets: 0.14^3 of 4,000 courses are eleven; with a fourth, one or two, and here none."""
    known = Catalogue("Boa", (*GENES[:3], gene("Dusk")), SexChromosomes.XY)
    herd = [
        animal(name, sex, f"14% het {hidden}", known=known)
        for name, sex, hidden in (("D1", "F", "Ash"), ("D2", "F", "Moss"), ("S1", "M", "Fog"), ("S2", "M", "Dusk"))
    ]  # fmt: skip
    found = routes_of(
        book(*herd, known=known), ("Four", "Ash Fog Moss Dusk"), ("Three", "Ash Fog Moss"), rule=QUICK
    )
    assert set(found.outlook["goal"]) == set(found.routes["goal"]) == {"Three"}
    assert 0 < found.outlook["p_ever"].iloc[0] < 0.02
    assert "with 100" not in found.outlook["note"].iloc[0]
    (note,) = notes_of(found, "out of reach")
    assert note.startswith("Four hangs on too many animals")


@pytest.mark.parametrize("named", [2024, 2025])
def test_route_findings__no_birth_lies_in_the_past_whichever_year_a_season_is_named_for(named):
    """Seasons from July: laid on 1 February 2025, in the season of 2024/25. On 20 June the next young are due 11 months on."""
    laid = pairing("P", "D", "S", season=named, ovulated_or_laid=date(2025, 2, 1))
    herd = book(
        animal("D", "F", "het Ash"), animal("S", "M", "het Ash"), pairings=[laid], season_starts=7
    )
    (way,) = routes_of(herd, ("Goal", "Ash"), as_of=date(2026, 6, 20)).outlook.to_dict("records")
    due = date(2027, 2, 1) + timedelta(days=110)
    assert way["season"] == 2026
    assert way["years_low"] == pytest.approx((due - date(2026, 6, 20)).days / 365.25)


@pytest.mark.parametrize(
    ("on", "starts", "days"),
    [("2025-02-01", 7, 215), ("2025-07-01", 7, 0), ("2025-05-01", 7, 0), ("2025-02-01", 1, 31), ("2024-11-15", 1, 0)],
)  # fmt: skip
def test_into_season__counts_from_the_season_a_day_belongs_to(on, starts, days):
    """Counted on a calendar; the last 92 days of a season count for the next."""
    assert into_season(date.fromisoformat(on), starts) == days


def test_seasons__young_grow_until_the_pairing_days_of_a_season():
    """Paired to 1 March, laid on 1 June, hatched 60 days on: at 34 months it is the end of May, too late for that March."""
    bred = pairing(
        "P", "D", "S", season=2025, last_paired=date(2025, 3, 1), ovulated_or_laid=date(2025, 6, 1)
    )
    herd = book(animal("D", "F", "normal"), animal("S", "M", "normal"), pairings=[bred])
    rule = SPECIES | {"female_breeding_age": 34.0, "male_breeding_age": 30.0, "days_to_young": 60.0}
    when = seasons(herd, "Boa", rule, date(2026, 11, 1))
    assert when.birth(2027) == date(2027, 7, 31)
    assert when.timing.growth == {"F": 4, "M": 3}
    for sex, months in (("F", 34), ("M", 30)):
        assert when.ready_in(add_months(when.birth(2027), months)) == 2027 + when.timing.growth[sex]
