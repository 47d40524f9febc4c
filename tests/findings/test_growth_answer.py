"""Growth findings of a small invented book: who is ready, what waits, and what the notes ask for."""

from datetime import date

import numpy as np
import pandas as pd
import pytest

from pipeline.findings.growth import growth_findings
from pipeline.findings.growth.curves import GOMPERTZ, log_weight
from pipeline.store.database import Store
from pipeline.store.tables import GROWTH, GROWTH_CURVES, GROWTH_POINTS

AS_OF = date(2026, 6, 1)
RULES = {
    "species": "Common boa", "female_breeding_weight": 1800.0, "male_breeding_weight": 700.0,
    "female_breeding_age": 42.0, "male_breeding_age": 24.0,
}  # fmt: skip


def _calendar(due=None, born=None, rested=None):
    """One litter of B1."""
    dates = {"due_on": due, "born_on": born, "rested_on": rested}
    return pd.DataFrame({"dam": ["B1"]} | {name: [pd.Timestamp(day)] for name, day in dates.items()})


NO_LITTER = _calendar()[:0]


def _animal(name="B1", sex="F", born="2021-06-14", year=None, status="keeping", species="Common boa"):
    when = pd.Timestamp(born) if born else pd.NaT
    return {"id": name, "sex": sex, "born": when, "born_year": year or (when.year if born else pd.NA), "status": status, "species": species}  # fmt: skip


def _weighings(name="B1", start="2021-07-01", n=10, gap=150, grown=2600.0, state=None, noise=0.03):
    days = np.arange(n) * gap
    logs, _ = log_weight(np.log([grown, 60.0, 0.8]), GOMPERTZ.power, days / 365.25)
    weights = np.exp(logs + noise * np.sin(2.3 * np.arange(n)))
    on = pd.Timestamp(start) + pd.to_timedelta(days, unit="D")
    return pd.DataFrame({"animal": name, "date": on, "date_year": on.year, "weight": weights, "state": state})


def _answer(animals, weights=(), rules=RULES, calendar=NO_LITTER, season_starts=1):
    frame = pd.DataFrame([animals] if isinstance(animals, dict) else animals).astype({"born_year": "Int64"})
    frame["born"] = pd.to_datetime(frame["born"])
    columns = ["animal", "date", "date_year", "weight", "state"]
    weighed = pd.concat(weights, ignore_index=True) if len(weights) else pd.DataFrame(columns=columns)
    weighed["date"] = pd.to_datetime(weighed["date"])
    return growth_findings(
        frame, pd.DataFrame([rules]), weighed, calendar, as_of=AS_OF, season_starts=season_starts
    )


def _row(*args, **kwargs):
    return _answer(*args, **kwargs).growth.iloc[0]


def test_growth_findings__columns_are_the_registry_s_and_the_store_takes_them():
    found = _answer(_animal(), [_weighings()])
    with Store() as store:
        for table, frame in (
            (GROWTH, found.growth),
            (GROWTH_CURVES, found.curves),
            (GROWTH_POINTS, found.points),
        ):
            assert ["book", *frame.columns] == table.names
            store.save(table.name, frame)
        stored = store.connection.execute("SELECT animal, n, latest_on FROM findings.growth").fetchall()
    assert stored == [("B1", 10, date(2025, 3, 12))]


def test_growth_findings__ready_by_weight_and_age():
    row = _row(_animal(born="2021-06-14"), [_weighings()])
    assert (row.blocked_by, row.p_ready, row.note) == ("nothing", 1.0, "")
    assert row.ready_on == pd.Timestamp(2024, 12, 14)  # 42 months; 1,800 g came before
    assert row.season_on == pd.Timestamp(2027, 1, 1)


def test_growth_findings__weight_waits_with_an_interval():
    row = _row(_animal(born="2022-06-14"), [_weighings(start="2023-10-01", n=6, gap=150)])
    assert row.blocked_by == "weight" and row.curve != "none"
    assert pd.Timestamp(AS_OF) < row.ready_early < row.ready_on
    assert 0 <= row.p_ready < 0.9


def test_growth_findings__rest_waits_after_a_litter():
    rested = _calendar(born="2026-05-01", rested="2027-11-01")
    row = _row(_animal(), [_weighings()], calendar=rested)
    assert (row.blocked_by, row.ready_on, row.p_ready) == ("rest", pd.Timestamp(2027, 11, 1), 0.0)


def test_growth_findings__young_still_due_hold_her_back():
    row = _row(_animal(), [_weighings()], calendar=_calendar(due="2026-07-01", rested="2028-01-01"))
    assert (row.blocked_by, row.ready_on) == ("rest", pd.Timestamp(2028, 1, 1))
    assert "Young are due on 2026-07-01" in row.note


def test_growth_findings__a_pairing_long_overdue_blocks_nothing():
    overdue = _calendar(due="2025-07-01", rested="2027-01-01")
    assert _row(_animal(), [_weighings()], calendar=overdue).blocked_by == "nothing"


def test_growth_findings__a_litter_without_a_rest_rule_asks_for_it():
    row = _row(_animal(), [_weighings()], calendar=_calendar(born="2025-07-01"))
    assert row.blocked_by == "nothing" and "Fill Rest between litters for Common boa" in row.note


def test_growth_findings__gravid_spent_and_ill_are_points_only():
    odd = pd.concat([_weighings(start="2025-05-01", n=1, state=s) for s in ("gravid", "spent", "ill")])
    found = _answer(_animal(), [_weighings(), odd.assign(weight=9000.0)])
    assert found.growth.n[0] == 10 and found.growth.latest_g[0] < 3000
    assert found.points.groupby("state").used.all().to_dict() == {
        "gravid": False,
        "ill": False,
        "plain": True,
        "spent": False,
    }


def test_growth_findings__a_vet_decides_on_an_ill_animal():
    row = _row(_animal(), [_weighings(), _weighings(start="2026-05-20", n=1, state="ill")])
    assert "a vet decides" in row.note


@pytest.mark.parametrize("n", [1, 2, 3])
def test_growth_findings__too_few_weighings_are_told(n):
    row = _row(_animal(born="2024-06-14"), [_weighings(start="2025-01-01", n=n)])
    assert (row.curve, row.blocked_by) == ("none", "weight") and pd.isna(row.ready_on)
    assert f"days weighed {n}; a curve of its own takes 4" in row.note


def test_growth_findings__one_weighing_at_breeding_weight_is_enough():
    heavy = _weighings(n=1, start="2025-02-01").assign(weight=2100.0)
    row = _row(_animal(), [heavy])
    assert (row.curve, row.blocked_by, row.ready_on) == ("none", "nothing", pd.Timestamp(2025, 2, 1))


@pytest.mark.parametrize(
    ("animal", "rules", "note"),
    [
        (_animal(sex=None), RULES, "Fill Sex on the Animals sheet"),
        (_animal(), RULES | {"female_breeding_weight": None}, "Fill Female breeding weight for Common boa on the Species sheet"),
        (_animal(species="Corn snake"), RULES, "Fill Female breeding weight for Corn snake"),
        (_animal(), RULES | {"female_breeding_age": None}, "gives Common boa no female breeding age, so age was not asked"),
        (_animal(born=None), RULES, "age was counted from the first weighing"),
        (_animal(born=None, year=2023), RULES, "Born is a bare year"),
    ],
)  # fmt: skip
def test_growth_findings__notes_say_what_to_fill(animal, rules, note):
    assert note in _row(animal, [_weighings()], rules=rules).note


def test_growth_findings__never_weighed_and_unborn_in_the_book():
    row = _row(_animal(born=None))
    assert "No plain weighing" in row.note and "Fill Born" in row.note
    assert np.isnan(row.p_ready) and row.n == 0


def test_growth_findings__a_bare_year_of_birth_widens_the_date():
    row = _row(_animal(born=None, year=2023), [_weighings()])
    assert (row.ready_early, row.ready_late) == (pd.Timestamp(2026, 8, 6), pd.Timestamp(2027, 5, 25))
    assert row.blocked_by == "age"


def test_growth_findings__only_animals_here_get_dates():
    animals = [_animal("B1", status="sold"), _animal("B2", status="died"), _animal("B3", status=None)]
    growth = _answer(animals, [_weighings(name) for name in ("B1", "B3")]).growth
    assert list(growth.animal) == ["B1", "B3"]
    assert pd.isna(growth.blocked_by[0]) and growth.blocked_by[1] == "nothing"


def test_growth_findings__later_and_undated_weighings_stay_out():
    later = _weighings(start="2026-06-02", n=1)
    undated = _weighings(n=1).assign(date=pd.NaT)
    found = _answer(_animal(), [_weighings(), later, undated])
    assert found.growth.n[0] == 10 and len(found.points) == 10
    assert "Weighings dated by a bare year, left out: 1." in found.growth.note[0]


def test_growth_findings__row_order_does_not_matter():
    animals = [_animal(f"B{i}") for i in range(4)]
    weights = [_weighings(f"B{i}", grown=2000.0 + 100 * i) for i in range(4)]
    forth, back = _answer(animals, weights), _answer(animals[::-1], [w[::-1] for w in weights[::-1]])
    pd.testing.assert_frame_equal(forth.growth, back.growth)
    pd.testing.assert_frame_equal(forth.curves, back.curves)


def test_growth_findings__curve_runs_beyond_the_ready_date_within_its_band():
    found = _answer(_animal(born="2022-06-14"), [_weighings(start="2023-10-01", n=6)])
    curves = found.curves
    assert curves.on.min() == pd.Timestamp(2023, 10, 1) and curves.on.max() > found.growth.ready_on[0]
    assert ((curves.low_g <= curves.weight_g) & (curves.weight_g <= curves.high_g)).all()


def test_growth_findings__nothing_from_nothing():
    animals = pd.DataFrame([_animal()]).astype({"born_year": "Int64"})[:0]
    weights = _weighings()[:0]
    found = growth_findings(animals, pd.DataFrame([RULES]), weights, NO_LITTER, as_of=AS_OF, season_starts=1)
    assert found.growth.empty and found.curves.empty and found.points.empty


def _among_sisters(*weights, born="2024-06-14"):
    """The findings of B9 with these weighings, among six sisters weighed ten times; age is not asked."""
    animals = [*(_animal(f"B{i}") for i in range(6)), _animal("B9", born=born)]
    theirs = [_weighings(f"B{i}", grown=2400.0 + 80 * i) for i in range(6)]
    theirs = [w.assign(length=(w["weight"] * 1000) ** (1 / 3)) for w in theirs]
    found = _answer(animals, [*theirs, *weights], rules=RULES | {"female_breeding_age": None})
    return found, found.growth.set_index("animal").loc["B9"]


def test_growth_findings__never_weighed_gets_the_curve_of_its_species():
    found, row = _among_sisters()
    assert (row.basis, row.n, row.blocked_by) == ("species", 0, "weight")
    assert "by the curve of its species and sex alone" in row.note and row.ready_early < row.ready_on
    assert found.growth.basis[0] == "own and species"


def test_growth_findings__never_weighed_but_old_enough_waits_for_the_scale():
    _, row = _among_sisters(born="2019-06-14")
    assert row.blocked_by == "weight" and "weigh it to be sure" in row.note


def test_growth_findings__two_weighings_give_a_date_with_a_wide_interval():
    rows = [_among_sisters(_weighings("B9", start="2024-07-01", n=n, gap=75))[1] for n in (2, 9)]
    widths = [(row.ready_late - row.ready_early).days for row in rows]
    assert widths[0] > widths[1] > 0
    assert "mostly the curve of its species" in rows[0].note


def test_growth_findings__lengths_stand_in_for_weights():
    measured = _weighings("B9", start="2024-09-01", n=2).assign(weight=np.nan, length=[60.0, 75.0])
    found, row = _among_sisters(measured)
    assert "Weights reckoned from lengths: 2." in row.note and "by its length alone" in row.note
    assert list(found.points.query("animal == 'B9'")["state"]) == ["by length"] * 2


def test_growth_findings__animals_that_stand_still_or_fall_tell_no_growth_and_stop_nothing():
    """Seven animals that fix neither a birth weight nor a rate: there is an answer, and each interval holds its middle."""
    courses = {
        "falls": [1700.0, 1550, 1400, 1250, 1100], "fell": [2600.0, 2450, 2300, 2150, 2000], "still": [1000.0] * 5,
        "grows": [300.0, 340, 380, 420, 460], "grew": [200.0, 400, 800, 1500], "doubled": [600.0, 650], "light": [0.5],
    }  # fmt: skip
    animals = [_animal(name, born=None if name == "grows" else "2020-06-01") for name in courses]
    weights = [
        pd.DataFrame(
            {
                "animal": name,
                "date": pd.date_range("2025-01-01", periods=len(own), freq="59D"),
                "date_year": 2025,
                "weight": own,
                "state": None,
            }
        )
        for name, own in courses.items()
    ]
    found = _answer(animals, weights)
    assert set(found.growth["basis"]) == {"own and species"}
    curves = found.curves[["low_g", "weight_g", "high_g"]].to_numpy()
    assert np.isfinite(curves).all() and (np.diff(curves, axis=1) >= 0).all()
