"""The demo season finds every planted fault that ratios can find, and accuses nothing else."""

import shutil

import pandas as pd
import pytest

from pipeline.example.collection import AS_OF, example_rows
from pipeline.season import run_season
from tests.endtoend.running import complaints

PLANTED = [fault for fault in example_rows()[1] if fault.by_ratios]
LEVEL = 0.05


def accused(findings):
    """Tests that call something impossible, or a departure at q below the level."""
    tests = findings["ratio_tests"]
    departs = (tests["verdict"] == "departs") & (tests["q"] < LEVEL)
    return tests[departs | (tests["verdict"] == "impossible")]


def genes_of(fault, species):
    """The names by which ratio tests speak of a fault's genes: the recorded locus where it has several genes."""
    return {(species, gene) for gene in fault.genes}


def species_of(fault, findings):
    pairings = findings["ratio_tests"].set_index("pairing")["species"]
    return pairings[pairings.index == fault.pairings[0]].iloc[0]


@pytest.mark.parametrize("fault", PLANTED, ids=lambda fault: fault.subject)
def test_season__finds_each_planted_fault(demo, fault):
    tests = demo.findings["ratio_tests"]
    if fault.gene_scope:
        rows = tests[(tests["scope"] == "gene") & tests["gene"].isin(fault.genes)]
        rows = rows[rows["species"] == species_of(fault, demo.findings)]
        assert list(rows["verdict"]) == [fault.by_ratios]
        return
    for pairing in fault.pairings:
        for gene in fault.genes or (None,):
            named = tests["gene"].isna() if gene is None else tests["gene"] == gene
            rows = tests[(tests["scope"] == "pairing") & (tests["pairing"] == pairing) & named]
            assert list(rows["verdict"]) == [fault.by_ratios], (pairing, gene)


def test_season__accuses_nothing_but_the_planted_faults(demo):
    found = accused(demo.findings)
    at_fault = {pairing for fault in PLANTED for pairing in fault.pairings}
    by_pairing = found[found["scope"] != "gene"]
    assert set(by_pairing["pairing"]) - at_fault == set()
    genes = {name for fault in PLANTED for name in genes_of(fault, species_of(fault, demo.findings))}
    by_gene = found[found["scope"] == "gene"]
    assert set(zip(by_gene["species"], by_gene["gene"], strict=True)) - genes == set()
    assert len(by_pairing) and len(by_gene)


def test_season__the_page_names_every_pairing_at_fault(demo):
    page = demo.season.page.read_text(encoding="utf-8")
    assert [p for fault in PLANTED for p in fault.pairings if p not in page] == []


def test_season__sexes_are_out_of_step_only_where_there_was_no_sire(demo):
    sexes = demo.findings["sex_ratios"]
    (alone,) = (fault for fault in PLANTED if "no sire at all" in fault.what)
    assert set(sexes.loc[sexes["verdict"] == "departs", "pairing"]) <= set(alone.pairings)


def test_season__linked_genes_show_as_linkage(demo):
    """Planted at 8 % recombination; the pairings' intervals hold it, and nothing but linkage departs in them."""
    (fault,) = (fault for fault in PLANTED if fault.subject == "Flint, Heather")
    parts = demo.findings["ratio_parts"]
    own = parts[parts["pairing"].isin(fault.pairings) & (parts["part"] == "linkage")]
    own = own[(own["gene"] == "Flint") & (own["other_gene"] == "Heather")]
    assert len(own) == len(fault.pairings)
    assert own["recombination_low"].le(0.08).all() and own["recombination_high"].ge(0.08).all()
    assert set(own["phase"]) == {"coupling"}


def test_check__the_demo_book_is_in_order(demo):
    assert complaints(demo.book, AS_OF) == []


def test_example_rows__plants_faults_in_records_that_are_there():
    rows, planted = example_rows()
    animals = {row["ID"] for row in rows["Animals"]}
    pairings = {row["Pairing"] for row in rows["Pairings"]}
    assert {pairing for fault in planted for pairing in fault.pairings} <= pairings
    assert {fault.subject for fault in planted if fault.kind == "label"} <= animals


def test_season__two_runs_are_alike_to_the_byte(demo, tmp_path):
    """The folder lies beside the book both times: findings.xlsx says the way from one to the other."""
    book = shutil.copy(demo.book, tmp_path / demo.book.name)
    again = run_season([book], tmp_path / "again", as_of=AS_OF)
    for name in ("report.html", "findings.xlsx"):
        assert (again.folder / name).read_bytes() == (demo.season.folder / name).read_bytes(), name
    drawn = sorted(path.name for path in (demo.season.folder / "charts").iterdir())
    assert drawn == sorted(path.name for path in (again.folder / "charts").iterdir())
    for name in drawn:
        one, other = (run.folder / "charts" / name for run in (again, demo.season))
        assert one.read_bytes() == other.read_bytes(), name


def test_season__the_database_holds_what_was_computed(demo):
    import duckdb

    told_after = ("books", "runs", "changes")  # of the run as a whole, once its books have answered
    with duckdb.connect(str(demo.season.folder / "season.duckdb"), read_only=True) as connection:
        answers = {name: frame for name, frame in demo.findings.items() if name not in told_after}
        for name, expected in answers.items():
            found = connection.execute(f"SELECT * FROM findings.{name}").df()
            pd.testing.assert_frame_equal(found, expected, obj=name)
