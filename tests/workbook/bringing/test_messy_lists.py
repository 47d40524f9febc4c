"""What messy lists hold besides their records, and how they say what our sheets keep apart; all invented."""

from datetime import date

import pytest

from pipeline.workbook.bringing.left_over import left_over_page
from pipeline.workbook.bringing.telling import brought_text


def test_bring__parents_called_by_name_get_their_ids(brought):
    rows = [
        {"Tag #": "B 01", "Name": "Ada"},
        {"Tag #": "B 02", "Name": "Twin", "Mum": "ada", "Dad": "Twin"},
        {"Tag #": "B 03", "Name": "Twin"},
    ]
    animals = brought({"Animals": rows}).gathered.records["Animals"]
    assert [animal.get("Dam") for animal in animals] == [None, "B 01", None]
    assert animals[1]["Sire"] == "Twin", "two bear the name, so it stays for the check to point at"


def test_bring__totals_and_remarks_under_a_table_are_no_records(brought):
    table = [
        ["ID", "Name", "Sex", "Genes"],
        ["B1", "Total", "M", "normal"],
        ["B2"],
        ["TOTAL", 2],
        ["All weighed on the kitchen scale"],
    ]
    found = brought({"Animals": table})
    assert [animal["ID"] for animal in found.gathered.records["Animals"]] == ["B1", "B2"]
    assert found.gathered.sayings["totals and remarks under a table stand on 'Left over'"] == 2
    left = left_over_page(found.tables, found.gathered)
    assert [row[2] for row in left.rows][-2:] == ["TOTAL", "All weighed on the kitchen scale"]


@pytest.mark.parametrize(
    "last", [["Sum", "3 animals", None, 42.5], ["Summe:", None, None, "1.250 g"], [None, "Count", "–", 2]]
)
def test_bring__a_total_with_its_unit_is_no_animal(brought, last):
    table = [["ID", "Name", "Sex", "Paid"], ["Sum", "66% het", "M", 40], ["B2", "Ada", "F", 2.5], last]
    found = brought({"Animals": table}).gathered
    assert [animal["ID"] for animal in found.records["Animals"]] == ["Sum", "B2"]
    assert found.sayings["totals and remarks under a table stand on 'Left over'"] == 1


@pytest.mark.parametrize(("header", "count"), [("Infertile", 2), ("Infertil eggs", 2), ("Fertile", None), ("Fertile eggs", None), ("Unhatched", None)])
def test_bring__eggs_are_no_slugs_where_the_heading_says_the_opposite(brought, header, count):
    rows = [["Dam", "Sire", "Year", header], ["A", "B", 2024, 2]]
    young = brought({"Clutches": rows}).gathered.records.get("Hatch results", [{}])
    assert [(y.get("Count"), y.get("Outcome")) for y in young] == [(count, "slug" if count else None)]


def test_bring__a_log_that_names_animals_over_and_over_is_no_list_of_them(brought):
    log = [["Date", "Snake", "Event"], *([date(2024, 1, day), "Ada" if day % 3 else "Ben", "fed"] for day in range(1, 9))]
    found = brought({"Log": log})
    assert not found.gathered.records.get("Animals") and found.tables[0].topic == ""


def test_bring__sums_without_a_word_are_no_record(brought):
    table = [["Pair", "Dam", "Sire", "# live", "# slugs"], ["L1", "A", "B", 22, 2], ["L2", "A", "B", 18, 0], [None, None, None, 40, 2]]
    young = brought({"Litters": table}).gathered.records["Hatch results"]
    assert [(y["Pairing"], y["Count"], y["Outcome"]) for y in young] == [
        ("L1", 22, "live"), ("L1", 2, "slug"), ("L2", 18, "live"), ("L2", 0, "slug"),
    ]  # fmt: skip


def test_bring__a_third_litter_as_large_as_two_is_no_sum(brought):
    table = [["Pair", "Season", "# live", "# slugs"], [1, None, 5, 1], [2, None, 4, 0], [3, None, 9, 1]]
    young = brought({"Litters": table}).gathered.records["Hatch results"]
    assert [y["Count"] for y in young if y["Outcome"] == "live"] == [5, 4, 9]


def test_bring__a_litter_in_one_cell_becomes_a_row_for_each_kind(brought):
    rows = [
        ["Year", "Mum", "Dad", "Live", "Still", "What we got"],
        [2020, "A", "B", 18, 1, "1.2 het albino, 15 normal"],
        [2021, "A", "B", 9, 0, "5 het albino"],
    ]
    young = brought({"Litters": rows}).gathered.records["Hatch results"]
    assert [(y.get("Genes"), y.get("Sex"), y["Count"], y["Outcome"]) for y in young] == [
        ("het albino", "M", 1, "live"), ("het albino", "F", 2, "live"), ("normal", None, 15, "live"), (None, None, 1, "stillborn"),
        ("5 het albino", None, 9, "live"), (None, None, 0, "stillborn"),
    ]  # fmt: skip
    assert {y["Pairing"] for y in young} == {"2020-01", "2021-01"}


def test_bring__young_keep_their_label_wherever_the_column_of_slugs_stands(brought):
    rows = [["Female", "Male", "Infertile", "Hatched", "Results"], ["A", "B", 2, 5, "3 normal, 2 amel"], ["C", "B", 1, 4, "amel"]]
    young = brought({"Clutches": rows}).gathered.records["Hatch results"]
    assert [(y.get("Genes"), y["Count"], y["Outcome"]) for y in young] == [
        (None, 2, "slug"), ("normal", 3, "live"), ("amel", 2, "live"), (None, 1, "slug"), ("amel", 4, "live"),
    ]  # fmt: skip


def test_bring__a_lone_line_on_a_sheet_of_its_own_is_kept(brought):
    found = brought({"Animals": [{"ID": "B1", "Sex": "F"}], "Reminder": [["Order bedding before May"]]})
    rows = left_over_page(found.tables, found.gathered).rows
    assert ("Reminder", 1, "Order bedding before May") in rows


def test_bring__a_label_of_nobody_s_is_of_the_one_species_that_the_list_names(brought):
    animals = [{"ID": "B1", "Kind": "Corn snake", "Sex": "F", "Genes": "Amel"}]
    young = [{"Pairing": "P9", "Count": 3, "Genes": "Amel"}, {"Pairing": "P9", "Count": 3, "Genes": "Anery"}]
    found = brought({"Animals": animals, "Hatch results": young}).gathered.records["Genes"]
    assert [(row["Species"], row["Gene"]) for row in found] == [("Corn snake", "Amel"), ("Corn snake", "Anery")]


def test_bring__what_became_of_an_animal_is_read_from_a_column_of_places(brought):
    places = ["rack 1", "SOLD to a friend", "died 2023", "Sold by a show", "loaned out"]
    rows = [{"ID": f"B{n}", "Sex": "F", "Kept in": place} for n, place in enumerate(places)]
    animals = brought({"Animals": rows}).gathered.records["Animals"]
    assert [animal.get("Status") for animal in animals] == [None, "sold", "died", None, "on loan"]
    assert animals[1]["Notes"] == "Kept in: SOLD to a friend"


@pytest.mark.parametrize(
    ("remark", "status"),
    [("died June 2022", "died"), ("Sold to a friend 2024", "sold"), ("sold as 66% het", None), ("on loan", "on loan"), ("ate, died", None),
     ("Sold her eggs in 2021", None), ("sold 3 hatchlings", None), ("Sold 3/2021", "sold")],
)
def test_bring__what_became_of_an_animal_is_read_from_its_remark(brought, remark, status):
    (animal,) = brought({"Animals": [{"ID": "B1", "Sex": "F", "Remarks": remark}]}).gathered.records["Animals"]
    assert (animal.get("Status"), animal["Notes"]) == (status, remark)


@pytest.mark.parametrize(
    ("dates", "born"),
    [(None, "3/4/2020"), ("day first", date(2020, 4, 3)), ("month first", date(2020, 3, 4))],
)
def test_bring__dates_of_two_readings_as_the_keeper_says(brought, dates, born):
    found = brought({"Animals": [{"ID": "B1", "Sex": "F", "Born": "3/4/2020"}]}, dates=dates)
    assert found.gathered.records["Animals"][0]["Born"] == born
    assert any("--dates day-first" in saying for saying in found.gathered.sayings) == (dates is None)


def test_bring__a_count_goes_to_an_outcome_as_asked(brought):
    rows = [{"Year": 2020, "Dam": "A", "Sire": "B", "Sad": 3}]
    found = brought({"Litters": rows}, asked=["Sad=Hatch results.Stillborn"])
    assert found.gathered.records["Hatch results"] == [
        {"Pairing": "2020-01", "Count": 3, "Outcome": "stillborn"}
    ]


@pytest.mark.parametrize(
    ("rows", "currency"),
    [
        ([{"ID": "B1", "Sex": "F", "Cost": "120,50 €"}, {"ID": "B2", "Sex": "M", "Cost": 80}], "EUR"),
        ([{"ID": "B1", "Sex": "F", "Cost (€)": 120.5}], "EUR"),
        ([{"ID": "B1", "Sex": "F", "Cost": "120 €"}, {"ID": "B2", "Sex": "M", "Cost": "£80"}], None),
        ([{"ID": "B1", "Sex": "F", "Cost": 80}], None),
    ],
)
def test_bring__money_all_in_one_currency_makes_it_the_book_s(brought, rows, currency):
    settings = brought({"Animals": rows}).gathered.records.get("Settings", [])
    assert [row["Value"] for row in settings] == ([currency] if currency else [])


def test_bring__years_of_two_digits_once_the_keeper_says_the_order(brought):
    rows = [{"ID": "1", "Sex": "F", "Born": "11.08.22"}, {"ID": "2", "Sex": "F", "Born": "27.7.99"}]
    told, asked = brought({"Animals": rows}), brought({"Animals": rows}, dates="day first")
    assert [animal["Born"] for animal in told.gathered.records["Animals"]] == ["11.08.22", "27.7.99"]
    assert any("--dates day-first" in saying for saying in told.gathered.sayings)
    born = [animal["Born"] for animal in asked.gathered.records["Animals"]]
    assert born == [date(2022, 8, 11), date(1999, 7, 27)]


def test_bring__a_column_of_parents_is_known_by_their_sex_though_one_is_wrong(brought):
    rows = [
        {"ID": f"K-{n:02}", "Sex": "F" if n % 3 else "M", "Morph": "Amel", "Vater": None} for n in range(30)
    ]
    for n in range(15, 30):
        rows[n]["Vater"] = "K-01" if n == 15 else f"K-{3 * (n % 5):02}"
    found = brought({"Animals": rows})
    assert [animal.get("Sire") for animal in found.gathered.records["Animals"]] == [
        row["Vater"] for row in rows
    ]


def test_bring__what_was_asked_and_what_was_paid_are_two_prices(brought):
    rows = [
        ["Date", "Morph", "Asked", "Sold for"],
        ["2021-07-05", "Albino", 400, 350],
        ["2021-07-06", "Albino", None, "$300"],
        ["2021-07-07", "Albino", 380, None],
    ]
    prices = brought({"Sales": rows}).gathered.records["Prices"]
    assert [(p["Date"].day, p["Price"], p.get("Kind")) for p in prices] == [
        (5, 350, "sold"), (5, 400, None), (6, "$300", "sold"), (7, 380, None),
    ]  # fmt: skip


def test_bring__a_price_asked_for_in_a_list_of_animals_is_a_sale(brought):
    rows = [{"ID": "B1", "Sex": "F", "Father": "B2", "Mother": "B3", "Got": 90, "Date sold": date(2024, 5, 1)}]
    found = brought({"Animals": rows}, asked=["Got=Prices.Price"]).gathered.records
    assert found["Prices"] == [{"Sex": "F", "Date": date(2024, 5, 1), "Price": 90, "Kind": "sold"}]
    assert [animal["ID"] for animal in found["Animals"]] == ["B1"]


def test_brought_text__tells_of_animals_and_prices_without_a_species(brought):
    tabs = {
        "Animals": [{"ID": "B1", "Sex": "F", "Genes": "Albino"}],
        "Prices": [{"Date": 2021, "Genes": "Albino", "Price": 5}, {"Date": 2022, "Genes": "Albino", "Price": 6}],
    }
    text = brought_text(brought(tabs))
    assert "1 row names no species on Animals; say --species" in text
    assert "2 rows name no species on Prices; say --species" in text
    assert "no species on" not in brought_text(brought(tabs, species="Boa"))
