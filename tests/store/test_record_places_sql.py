"""Where the records behind a sum stand: the very rows that the counting queries add up."""

import pandas as pd
import pytest

from pipeline.store.database import Store

BOOK = "b.xlsx"


def rows(sheet, **columns):
    """Records of one sheet from row 2 on; a scalar is repeated."""
    frame = pd.DataFrame(columns)
    return frame.assign(book=BOOK, sheet=sheet, row=range(2, len(frame) + 2))


@pytest.fixture(scope="module")
def places():
    """Two species, one pairing each a season; a young animal with a record of its own; prices in two currencies."""
    points = {"species": ["Corn"] * 3, "morph": "Amel", "currency": ["USD", "EUR", "USD"], "kind": "asked"}
    with Store() as store:
        store.load({
            "animals": rows("Animals", id=["D", "S", "E", "T", "Y"], species=["Corn", "Corn", "Boa", "Boa", "Corn"], sex=["F", "M", "F", "M", "F"]),
            "pairings": rows("Pairings", pairing=["P", "Q", "R"], season=[2024, 2024, 2025], dam=["D", "E", "D"], sire=["S", "T", "S"]),
            "hatch_results": rows(
                "Young", pairing=["P", "Q", "P", "R"], outcome=[None, None, "slug", "stillborn"], sex=["M", None, "M", None],
                animal=[None, None, None, "Y"],
            ),
            "prices": rows("Prices", species=["Corn"] * 3, genes="Amel"),
        })  # fmt: skip
        store.save("price_points", pd.DataFrame(points).assign(book=BOOK, row=[2, 3, 4], price=50.0))
        tested = {
            "book": BOOK,
            "species": "Corn",
            "scope": "pairing",
            "pairing": ["P", "P"],
            "gene": ["Amel", None],
        }
        store.save("ratio_tests", pd.DataFrame(tested))
        yield store.query("record_places", book=BOOK)


def of(places, kind, name, species="Corn"):
    """Sheet, first row, last row and number of rows of each place."""
    own = places[(places["kind"] == kind) & (places["id"] == name)]
    own = own[own["species"].eq(species) if species else own["species"].isna()]
    return list(own[["sheet", "first_row", "last_row", "records"]].itertuples(index=False, name=None))


def test_record_places__a_season_is_the_pairings_and_hatch_rows_of_its_species(places):
    assert of(places, "season", "2024") == [("Pairings", 2, 2, 1), ("Young", 2, 4, 2)]
    assert of(places, "season", "2024", "Boa") == [("Pairings", 3, 3, 1), ("Young", 3, 3, 1)]


def test_record_places__parents_are_those_of_live_young(places):
    assert of(places, "parents", "2024") == [("Animals", 2, 3, 2)]
    assert of(places, "parents", "2025") == []


def test_record_places__sexed_young_are_told_by_their_own_record_where_they_have_one(places):
    assert of(places, "sexed", "Corn") == [("Animals", 6, 6, 1), ("Young", 2, 5, 2)]
    assert of(places, "sexed", "Boa", "Boa") == []


def test_record_places__crosses_of_a_gene_are_the_young_of_pairings_tested_for_it(places):
    assert of(places, "crosses", "Amel") == [("Young", 2, 4, 2)]


def test_record_places__a_market_is_the_prices_of_a_species_in_one_currency(places):
    assert of(places, "market", "USD") == [("Prices", 2, 4, 2)]
    assert of(places, "market", "EUR") == [("Prices", 3, 3, 1)]


def test_record_places__offspring_are_the_hatch_rows_of_an_animal_s_pairings(places):
    assert of(places, "offspring", "S") == [("Young", 2, 5, 3)]


def test_record_places__a_book_is_what_its_counts_add_up(places):
    assert of(places, "book", BOOK, None) == [("Animals", 2, 6, 5), ("Pairings", 2, 4, 3), ("Young", 2, 5, 4)]
