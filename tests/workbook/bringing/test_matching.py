from pipeline.workbook.bringing.grids import read_grids
from pipeline.workbook.bringing.matching import Known
from pipeline.workbook.bringing.tabs import tabs_of
from pipeline.workbook.bringing.topics import matched


def placed(path, known=None):
    """Per table: topic, and where each column goes."""
    found = {}
    for grid in read_grids(path):
        table = matched(tabs_of(grid)[0], known or Known())
        found[grid.name] = (table.topic, {p.header: p.target and str(p.target) for p in table.placings})
    return found


def test_matched__a_csv_file_of_animals_holds_weighings_too(semicolons):
    topic, where = placed(semicolons)["old"]
    assert topic == "Animals"
    assert (
        where["M/F"] == "Animals: Sex"
        and where["DOB"] == "Animals: Born"
        and where["Mother"] == "Animals: Dam"
    )
    assert (where["Wt (kg)"], where["Last weighed"]) == ("Weights: Weight", "Weights: Date")
    assert where["Vet"] is None and where["Remarks"] == "Animals: Notes"


def test_matched__tells_the_topics_of_tables_apart(three_sheets):
    found = placed(three_sheets)
    assert {name: topic for name, (topic, _) in found.items()} == {
        "My snakes": "Animals", "Breeding log": "Pairings", "Weigh ins": "Weights", "Shopping": "",
    }  # fmt: skip


def test_matched__a_word_of_two_meanings_goes_by_its_content(three_sheets):
    """'Hatched' is a day in both lists here; with counts below it, it is how many."""
    found = placed(three_sheets)
    assert found["My snakes"][1]["Hatched"] == "Animals: Born"
    assert found["Breeding log"][1]["Hatched"] == "Hatch results: Date"


def test_matched__hatched_with_counts_is_how_many(make_book):
    rows = [["Dam", "Sire", "Year", "Hatched"], ["A", "B", 2022, 7], ["C", "B", 2023, 12]]
    assert (
        placed(make_book({"Clutches": rows}))["Clutches"][1]["Hatched"]
        == "Hatch results: Count (Outcome live)"
    )


def test_matched__columns_without_a_telling_header_go_by_content(make_book):
    rows = [
        ["x1", "Name", "x2", "x3", "x4", "x5"],
        ["S-1", "Ada", "m", "2019-05-06", "Motley het Albino", None],
        ["S-2", "Bo", "f", "2019-07-06", "super Motley", None],
        ["S-3", "Cy", "f", "2021-07-06", "normal", "S-2"],
    ]
    found = placed(make_book({"Sheet1": rows}))["Sheet1"][1]
    assert [found[f"x{n}"] for n in range(1, 6)] == ["Animals: ID", "Animals: Sex", "Animals: Born", "Animals: Genes", "Animals: Dam"]  # fmt: skip


def test_matched__a_misspelt_header_is_found_and_less_sure(make_book):
    path = make_book({"Animals": [{"ID": "B1", "Species": "Boa", "Genetiks": "Motley"}]})
    table = matched(tabs_of(read_grids(path)[0])[0], Known())
    assert [str(p.target) for p in table.placings][2] == "Animals: Genes"
    assert table.placings[2].confidence < 95


def test_matched__a_weight_without_a_day_is_no_weighing(make_book):
    path = make_book({"Animals": [{"ID": "B1", "Species": "Boa", "Weight": 300}]})
    assert placed(path)["Animals"][1]["Weight"] is None


def test_matched__a_table_of_weighings_is_no_animal_list(make_book):
    rows = [["Snake", "Date", "Grams"], ["B1", "2024-01-02", 300], ["B1", "2024-02-02", 320]]
    assert placed(make_book({"Log": rows}))["Log"] == ("Weights", {"Snake": "Weights: Animal", "Date": "Weights: Date", "Grams": "Weights: Weight"})  # fmt: skip
