"""Whatever a keeper types, the check answers with problems, and what it collects holds together."""

from datetime import date

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pipeline.genetics.statements import genotypes_at
from pipeline.problems import Severity
from pipeline.workbook.checking import checked
from pipeline.workbook.sheets import sheet

IDS = st.sampled_from(["A", "B", "C", "D", "E", "F", "a ", "Z9"])
SPECIES = st.sampled_from(["Boa", "boa", "Corn snake", "Coen snake"])
GENES = st.sampled_from([None, "normal", "Ash", "het Ash", "Super Birch", "Ahs", "het Cedar", "Ash Dusk", "66% het Ash, Cedar", "not Ash het Ash"])  # fmt: skip
DATES = st.sampled_from([None, 2015, 2020, "2018-03-01", "2020-06-01", "2024-08-01", "2027-01-01"])
SEXES = st.sampled_from([None, "F", "M"])


def rows(most, **fields):
    return st.lists(st.fixed_dictionaries(fields), max_size=most)


BOOKS = st.fixed_dictionaries(
    {},
    optional={
        "species": rows(2, species=SPECIES, sex_chromosomes=st.sampled_from([None, "XY", "ZW"]), typical_litter=st.just(10.0)),
        "genes": rows(
            6, species=SPECIES, gene=st.sampled_from(["Ash", "Birch", "Cedar", "Dusk", "Super Birch"]),
            inheritance=st.sampled_from(["recessive", "incomplete dominant", "dominant", "line-bred"]),
            locus=st.sampled_from([None, "L", "Ash"]), sex_linked=st.sampled_from([None, "yes"]),
            linked_locus=st.sampled_from([None, "Ash", "Cedar"]), recombination=st.sampled_from([None, 10.0]),
            two_copies=st.sampled_from([None, "lethal"]), also_written=st.sampled_from([None, "Dusk; Ash"]),
        ),
        "morph_names": rows(3, species=SPECIES, name=st.sampled_from(["Dusk", "Dawn"]), genes=st.sampled_from(["Dawn", "Ash Birch", "Dusk Ash"])),
        "animals": rows(8, id=IDS, species=SPECIES, sex=SEXES, sire=st.none() | IDS, dam=st.none() | IDS, born=DATES, genes=GENES),
        "pairings": rows(4, pairing=st.sampled_from("PQ"), season=st.just(2020), dam=IDS, sire=IDS, other_sires=st.none() | IDS, first_paired=DATES),
        "hatch_results": rows(
            6, pairing=st.sampled_from("PQR"), genes=GENES, sex=SEXES, count=st.sampled_from([None, 0, 1, 80]), animal=st.none() | IDS,
            outcome=st.sampled_from([None, "slug"]), unreadable=st.sampled_from([None, "Ash", "Nix"]), date=DATES,
        ),
        "weights": rows(4, animal=IDS, date=DATES, weight=st.sampled_from([None, 0.0, 50.0, 60.0])),
        "prices": rows(3, date=DATES, species=SPECIES, genes=GENES, price=st.sampled_from([0.0, 90.0]), currency=st.sampled_from([None, "eur", "Euro"])),
        "goals": rows(2, goal=st.sampled_from(["G", "H"]), species=SPECIES, genes=GENES),
    },
)  # fmt: skip


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(BOOKS)
def test_checked__holds_together_whatever_was_typed(book_of, tables):
    result = checked(book_of(**tables), date(2025, 1, 1))
    collection, before = result.collection, set()
    for animal in collection.animals.values():
        assert {animal.sire, animal.dam} - {None} <= before
        before.add(animal.id)
        assert animal.species in collection.catalogues
    for pairing in collection.pairings.values():
        assert {pairing.dam, pairing.sire, *pairing.other_sires} <= before
        assert collection.animals[pairing.dam].sex != "M"
        assert collection.animals[pairing.sire].sex != "F"
    for young in collection.young:
        assert young.pairing in collection.pairings
        assert young.animal is None or young.animal in before


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(BOOKS)
def test_checked__every_label_kept_fits_a_genotype(book_of, tables):
    collection = checked(book_of(**tables), date(2025, 1, 1)).collection
    for animal in collection.animals.values():
        catalogue = collection.catalogues[animal.species]
        for locus in catalogue.loci if animal.label else ():
            assert genotypes_at(animal.label, locus, single_copy=catalogue.single_copy(locus, animal.sex))


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(BOOKS)
def test_checked__no_row_goes_without_an_error_on_its_sheet(book_of, tables):
    book = book_of(**tables)
    result = checked(book, date(2025, 1, 1))
    for name, frame in book.tables.items():
        gone = set(frame["row"]) - set(result.book.tables[name]["row"])
        errors = [
            p for p in result.problems if p.severity is Severity.ERROR and p.place.sheet == sheet(name).name
        ]
        assert not gone or errors
        assert {p.place.row for p in errors if "the row is left out" in p.message} <= gone
