"""What changed between two runs: each kind of answer, first runs, reruns, and files of an earlier version."""

from datetime import date

import pandas as pd
import pytest

from pipeline.findings.changes import change_findings
from pipeline.store.tables import FINDINGS

BOOK = "snakes.xlsx"
THEN, NOW = date(2026, 5, 1), date(2026, 6, 1)
SPECIES = "Corn snake"


def run(as_of=THEN, **tables):
    """Findings of a run that has told only these rows (dicts without book and species)."""
    made = {table.name: pd.DataFrame(columns=table.names) for table in FINDINGS}
    for name, rows in tables.items():
        full = [{"book": BOOK, "species": SPECIES, **row} for row in rows]
        made[name] = pd.DataFrame(full).reindex(columns=made[name].columns)
    made["runs"] = pd.DataFrame([{"book": BOOK, "as_of": pd.Timestamp(as_of), "compared_with": pd.NaT}])
    return made


def compared(before, after, as_of=NOW):
    found = change_findings(before, after, BOOK, as_of)["changes"]
    told = found[["kind", "what", "subject", "before", "now"]].astype(object)
    return [tuple(row) for row in told.where(told.notna(), None).itertuples(index=False)]


def label(subject, likelier="one copy of Amel"):
    return {"kind": "label", "subject": subject, "gene": "Amel", "likelier": likelier}


def test_change_findings__suspicions_come_go_and_change():
    before = run(suspicions=[label("C1"), label("C2")])
    after = run(suspicions=[label("C2", "none of Amel"), label("C3")])
    assert compared(before, after) == [
        ("suspicion", "changed", "Label of C2", "one copy of Amel", "none of Amel"),
        ("suspicion", "new", "Label of C3", None, "one copy of Amel"),
        ("suspicion", "gone", "Label of C1", "one copy of Amel", None),
    ]


@pytest.mark.parametrize(
    "table, keys, column, before, now, told",
    [
        ("ratio_tests", {"scope": "pairing", "pairing": "P1"}, "verdict", "fits", "departs", ("verdict", "changed", "P1")),
        ("ratio_tests", {"scope": "gene", "gene": "Amel"}, "verdict", "too few", "fits", ("verdict", "changed", "all crosses, Amel")),
        ("carrier_odds", {"animal": "C1", "gene": "Amel"}, "settled", "open", "proved", ("carrier", "settled", "C1, Amel")),
        ("carrier_odds", {"animal": "C1", "gene": "Amel"}, "settled", "proved", "open", ("carrier", "open again", "C1, Amel")),
        ("growth", {"animal": "C1"}, "blocked_by", "weight", "nothing", ("growth", "ready", "C1")),
        ("growth", {"animal": "C1"}, "blocked_by", "nothing", "rest", ("growth", "no longer ready", "C1")),
        ("price_trends", {"morph": "Amel", "currency": "USD", "kind": "sold"}, "direction", "falling", "rising", ("price", "turned", "Amel (sold)")),
        ("price_trends", {"morph": "Amel", "currency": "USD", "kind": "sold"}, "direction", "too few", "flat", ("price", "now told", "Amel (sold)")),
    ],
)  # fmt: skip
def test_change_findings__tells_an_answer_that_is_another(table, keys, column, before, now, told):
    old, new = (run(**{table: [{**keys, column: value}]}) for value in (before, now))
    assert compared(old, new) == [(*told, before, now)]
    assert compared(old, old) == []


@pytest.mark.parametrize(
    "table, keys, column, before, now",
    [
        ("ratio_tests", {"scope": "clutch", "pairing": "P1", "clutch": 1}, "verdict", "fits", "departs"),
        ("growth", {"animal": "C1"}, "blocked_by", "weight", "age"),
        (
            "price_trends",
            {"morph": "Amel", "currency": "USD", "kind": "sold"},
            "direction",
            "flat",
            "too few",
        ),
    ],
)
def test_change_findings__is_silent_about_the_rest(table, keys, column, before, now):
    old, new = (run(**{table: [{**keys, column: value}]}) for value in (before, now))
    assert compared(old, new) == []


def test_change_findings__a_problem_that_only_moved_is_neither_new_nor_mended():
    said = {"severity": "error", "sheet": "Animals", "value": "Q9", "message": "No such dam."}
    other = {**said, "cell": "H4", "value": "Q1"}
    before = run(problems=[{**said, "cell": "H2"}, other])
    after = run(
        problems=[
            {**said, "cell": "H3"},
            {**said, "cell": "H9", "value": "Q5"},
            {**said, "severity": "note", "value": "x"},
        ]
    )
    assert compared(before, after) == [
        ("problem", "new", "Animals, H9", None, "No such dam."),
        ("problem", "mended", "Animals, H4", "No such dam.", None),
    ]


@pytest.mark.parametrize("earlier", [None, {}, {"runs": run()["runs"].assign(book="another.xlsx")}])
def test_change_findings__a_first_run_has_nothing_to_compare(earlier):
    found = change_findings(earlier, run(suspicions=[label("C1")]), BOOK, NOW)
    assert found["changes"].empty and found["runs"]["compared_with"].isna().all()


def test_change_findings__a_rerun_of_the_same_run_repeats_what_that_one_said():
    before = run(NOW, suspicions=[label("C1")])
    before["runs"] = before["runs"].assign(compared_with=pd.Timestamp(THEN))
    before["changes"] = pd.DataFrame(
        [{"book": BOOK, "kind": "suspicion", "what": "new", "subject": "Label of C1"}]
    )
    found = change_findings(before, run(NOW, suspicions=[label("C1")]), BOOK, NOW)
    assert list(found["changes"]["subject"]) == ["Label of C1"]
    assert list(found["runs"]["compared_with"]) == [pd.Timestamp(THEN)]


def test_change_findings__compares_with_a_file_that_lacks_tables_and_columns():
    before = {"runs": run()["runs"], "growth": pd.DataFrame([{"book": BOOK, "animal": "C1"}])}
    after = run(growth=[{"animal": "C1", "blocked_by": "nothing"}])
    found = change_findings(before, after, BOOK, NOW)
    assert found["changes"].empty and list(found["runs"]["compared_with"]) == [pd.Timestamp(THEN)]
