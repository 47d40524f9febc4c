"""Animals that keepers share: the evidence of both books is weighed as if they had kept one."""

from datetime import date
from pathlib import Path

import pandas as pd
import pytest

from pipeline.season import run_season
from pipeline.store.earlier import earlier_findings
from pipeline.workbook.template import write_book
from tests.endtoend.club_books import BOA, Sheets, ann, ben, merged

AS_OF = date(2025, 11, 1)
ODDS = ["from_ancestors", "p_none", "p_one", "p_two"]
HIS = {"BX1": "X1", "BY1": "Y1"}


def season(folder: Path, jobs: int = 1, **books: Sheets) -> dict[str, dict[str, pd.DataFrame]]:
    """The findings of each book of one season, by book and table."""
    paths = [folder / f"{name}.xlsx" for name in books]
    for path, sheets in zip(paths, books.values(), strict=True):
        write_book(path, sheets)
    out = run_season(paths, folder / "season", as_of=AS_OF, jobs=jobs).folder
    return {path.stem: earlier_findings(out / "season.duckdb", path.name) for path in paths}


def odds(findings: dict[str, pd.DataFrame]) -> dict[tuple[str, str], list[float]]:
    rows = findings["carrier_odds"]
    return {(row["animal"], row["gene"]): [row[name] for name in ODDS] for row in rows.to_dict("records")}


@pytest.fixture(scope="module")
def both(tmp_path_factory):
    return season(tmp_path_factory.mktemp("both"), ann=ann(), ben=ben())


def test_shared__odds_are_those_of_one_book_made_by_hand(both, tmp_path):
    whole = odds(season(tmp_path, merged=merged())["merged"])
    for book, own in {"ann": ("D1", "X1", "F1"), "ben": ("F1", "BX1", "BY1")}.items():
        found = odds(both[book])
        assert {animal for animal, _ in found} == {HIS.get(name, name) for name in own}
        for name in own:
            for gene in ("Anery", "Motley"):
                assert found[HIS.get(name, name), gene] == pytest.approx(whole[name, gene], abs=1e-9)


def test_shared__one_keeper_s_young_prove_what_the_other_can_only_guess(both, tmp_path):
    alone = odds(season(tmp_path, ann=ann())["ann"])["F1", "Anery"]
    assert alone[2] < 0.55
    rows = both["ann"]["carrier_odds"].set_index(["animal", "gene"])
    assert rows.loc[("F1", "Anery"), "settled"] == "proved"
    assert rows.loc[("F1", "Anery"), "p_one"] > 0.99


def test_shared__ids_that_are_not_shared_stay_apart(both):
    genes = {book: odds(both[book])["X1", "Anery"] for book in ("ann", "ben")}
    assert genes["ann"][3] < 0.05 and genes["ben"][3] > 0.95
    assert both["ann"]["shared_animals"].values.tolist() == [
        ["ann.xlsx", "Common boa", "F1", "ben.xlsx", "F1"]
    ]


def test_shared__kin_are_followed_through_both_books(both):
    kin = both["ben"]["kinship"].set_index(["dam", "sire"])
    assert kin.loc[("Y1", "X1 (ann.xlsx)"), "f_young"] == pytest.approx(1 / 8)
    inbreeding = both["ben"]["inbreeding"].set_index("animal")
    assert inbreeding.loc["F1", ["status", "sire", "dam"]].tolist() == [
        "on loan",
        "X1 (ann.xlsx)",
        "D1 (ann.xlsx)",
    ]


def test_shared__a_sheet_says_which_ids_are_one(both, tmp_path):
    sheet = [{"ID": "F1", "Same as book": "Ben", "Same as ID": "Q7"}]
    found = season(tmp_path, ann={**ann(), "Shared animals": sheet}, ben=ben("Q7"))
    assert odds(found["ann"])["F1", "Anery"] == pytest.approx(odds(both["ann"])["F1", "Anery"])
    assert odds(found["ben"])["Q7", "Anery"] == pytest.approx(odds(both["ann"])["F1", "Anery"])


def test_shared__is_the_same_in_any_order_and_number_of_processes(both, tmp_path):
    again = season(tmp_path, jobs=2, ben=ben(), ann=ann())
    for book, tables in both.items():
        for name in set(tables) - {"runs", "books"}:
            pd.testing.assert_frame_equal(tables[name], again[book][name], obj=name)


def warnings(found: dict[str, pd.DataFrame]) -> list[tuple[str, str, str]]:
    rows = found["problems"]
    rows = rows[rows["severity"] == "warning"]
    return list(rows[["sheet", "cell", "message"]].itertuples(index=False, name=None))


@pytest.mark.parametrize(
    ("column", "value", "cell", "said"),
    [
        ("Sex", "M", "D4", "Sex of the shared animal F1 is F here, but M in ben.xlsx."),
        ("Born", date(2020, 1, 1), "E4", "Born of the shared animal F1 is 2019-07-01 here, but 2020-01-01 in ben.xlsx."),
        ("Sire", "X1", "H4",
         "Sire of the shared animal F1 is X1 here, but X1 in ben.xlsx; parents must be shared themselves to be the same."),
    ],
)  # fmt: skip
def test_shared__records_that_clash_are_told_in_both_books_and_kept_apart(
    column, value, cell, said, tmp_path
):
    his = ben()
    his["Animals"][0] = {**his["Animals"][0], column: value}
    del his["Pairings"], his["Hatch results"], his["Animals"][2]
    found = season(tmp_path, ann=ann(), ben=his)
    assert ("Animals", cell, said) in warnings(found["ann"])
    assert any(column in message and "but" in message for _, _, message in warnings(found["ben"]))
    assert odds(found["ann"])["F1", "Anery"][2] < 0.55


def test_genes__a_clash_of_inheritance_is_told_in_both_books_and_joins_nothing(tmp_path):
    his = ben()
    his["Genes"] = [GENES_CLASH, {**his["Genes"][1], "Also written": "Mot"}]
    found = season(tmp_path, ann=ann(), ben=his)
    assert ("Genes", "D2", "Anery (Common boa) is recessive here, but dominant in ben.xlsx.") in warnings(
        found["ann"]
    )
    assert ("Genes", "D2", "Anery (Common boa) is dominant here, but recessive in ann.xlsx.") in warnings(
        found["ben"]
    )
    apart = (
        "F1 is shared with ben.xlsx, but is not weighed together: the books clash about a gene (see Genes)."
    )
    assert ("Animals", "A4", apart) in warnings(found["ann"])
    assert odds(found["ann"])["F1", "Anery"][2] < 0.55


def test_species__sex_chromosomes_that_clash_are_told_in_both_books_and_join_nothing(tmp_path):
    his = ben()
    his["Species"] = [{**his["Species"][0], "Sex chromosomes": "ZW"}]
    found = season(tmp_path, ann=ann(), ben=his)
    for book, own, other, others in (("ann", "XY", "ZW", "ben.xlsx"), ("ben", "ZW", "XY", "ann.xlsx")):
        said = f"Common boa has the sex chromosomes {own} here, but {other} in {others}."
        assert ("Species", "D2", said) in warnings(found[book])
    apart = "F1 is shared with ben.xlsx, but is not weighed together: the books clash about sex chromosomes (see Species)."
    assert ("Animals", "A4", apart) in warnings(found["ann"])
    assert odds(found["ann"])["F1", "Anery"][2] < 0.55


@pytest.mark.parametrize("said", [None, "unknown"])
def test_species__unknown_sex_chromosomes_clash_with_none(both, tmp_path, said):
    his = ben()
    his["Species"] = [{**his["Species"][0], "Sex chromosomes": said}]
    found = season(tmp_path, ann=ann(), ben=his)
    assert warnings(found["ben"]) == warnings(both["ben"])
    assert odds(found["ann"])["F1", "Anery"] == pytest.approx(odds(both["ann"])["F1", "Anery"])


GENES_CLASH = {"Species": "Common boa", "Gene": "Anery", "Inheritance": "dominant"}


@pytest.mark.parametrize(
    ("gene", "also", "species"),
    [("Anerythristic", "Anery", BOA), ("Anerythristic", "Black; ANERY ", BOA), ("ANERY", None, "COMMON  BOA"), ("anery.", None, "common-boa")],
)  # fmt: skip
def test_genes__another_spelling_of_one_gene_is_one_gene(both, tmp_path, gene, also, species):
    new = {"Genes": lambda text: str(text).replace("Anery", gene), "Species": lambda _: species}
    his = {
        sheet: [{k: new.get(k, lambda v: v)(v) for k, v in row.items()} for row in rows]
        for sheet, rows in ben().items()
    }
    his["Genes"][0] |= {"Gene": gene, "Also written": also}
    found = season(tmp_path, ann=ann(), ben=his)
    assert odds(found["ben"])["F1", gene] == pytest.approx(odds(both["ann"])["F1", "Anery"], abs=1e-9)
    assert odds(found["ann"])["F1", "Anery"] == pytest.approx(odds(both["ann"])["F1", "Anery"], abs=1e-9)
    assert warnings(found["ann"]) == warnings(found["ben"]) == []


def test_shared__a_label_is_doubted_in_the_book_that_wrote_it_for_the_young_of_another(tmp_path):
    hers, his = ann(), ben()
    hers["Animals"][2] = {**hers["Animals"][2], "Genes": "Motley, het Anery", "Label basis": "bred here"}
    his["Hatch results"] = [
        {"Pairing": "P1", "Date": date(2023, 8, 1), "Genes": genes, "Count": 9}
        for genes in ("Motley", "normal")
    ]
    del his["Animals"][2]
    found = season(tmp_path, ann=hers, ben=his)
    (doubted,) = found["ann"]["suspicions"].to_dict("records")
    assert (doubted["kind"], doubted["subject"], doubted["rank"]) == ("label", "F1", 1)
    assert "X1 (ben.xlsx)" in doubted["evidence"] or "P1 (ben.xlsx)" in doubted["evidence"]
    assert found["ben"]["suspicions"].empty


def test_shared__a_litter_that_both_books_record_counts_once(both, tmp_path):
    hers, his = ann(), ben()
    his["Animals"][1] = {**his["Animals"][1], "ID": "V1", "Notes": "Shared"}
    his = {
        s: [{k: "V1" if v == "X1" else v for k, v in row.items()} for row in rows] for s, rows in his.items()
    }
    hers["Animals"].append(dict(his["Animals"][1]))
    hers["Pairings"].append({"Pairing": "H1", "Season": 2023, "Dam": "F1", "Sire": "V1"})
    hers["Hatch results"].append({"Pairing": "H1", "Date": date(2023, 8, 1), "Genes": "Anery", "Count": 4})
    found = season(tmp_path, ann=hers, ben=his)
    assert odds(found["ann"])["F1", "Anery"] == pytest.approx(odds(both["ann"])["F1", "Anery"], abs=1e-9)
    assert [message for _, _, message in warnings(found["ann"])] == [
        "Pairing H1 is P1 (ben.xlsx) too: the same animals in the same season. Where both books are weighed together, only "
        "the young recorded there count."
    ]
