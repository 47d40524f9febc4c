"""What one pair can be expected to have, as a keeper asks for it."""

from fractions import Fraction

import pytest

from pipeline.errors import RequestError
from pipeline.findings.crossing import ExpectedCross, cross_pair
from pipeline.genetics.genes import Catalogue, SexChromosomes
from tests.genetics.books import animal, collection
from tests.genetics.catalogues import BOAS, gene

CORNS = Catalogue(
    "Meadow corn",
    (
        gene("Ember", "dominant", lethal=True, welfare="Two copies die in the egg."),
        gene("Veil", sex_linked=True),
        gene("Amel"),
    ),
    SexChromosomes.ZW,
)
PLAIN = Catalogue("Meadow whip", ())
BOOK = collection(
    animal("B1", "Motley, het Albino", BOAS, sex="F"),
    animal("B2", "Albino", BOAS, sex="M"),
    animal("B3", "normal", BOAS, sex="F", dam="B1", sire="B2"),
    animal("B4", "Hypo", BOAS, sex="M", status="died"),
    animal("B5", None, BOAS, sex="F"),
    animal("B6", "Anery", BOAS, name="Luna"),
    animal("B 8", "Anery", BOAS, name="Albino", sex="M"),
    animal("B9", "Anery", BOAS, name="Twin"),
    animal("B10", "Anery", BOAS, name="Twin"),
    animal("W1", None, PLAIN, sex="F"),
    animal("W2", None, PLAIN, sex="M"),
    animal("C1", "Ember", CORNS, sex="F"),
    animal("C2", "Ember het Veil", CORNS, sex="M"),
    catalogues=(BOAS, CORNS, PLAIN),
)


def shares(found: ExpectedCross) -> dict:
    return {
        (young.sex, young.label) if young.sex else young.label: young.probability for young in found.young
    }


def test_cross_pair__two_animals_by_their_ids() -> None:
    found = cross_pair(BOOK, "B1", "B2")
    quarter = Fraction(1, 4)
    assert shares(found) == dict.fromkeys(
        ("Normal, het Albino", "Motley, het Albino", "Albino", "Motley Albino"), quarter
    )
    assert (found.dam.label, found.sire.label, found.species) == (
        "Motley, het Albino",
        "Albino",
        "Meadow boa",
    )
    assert (found.inbreeding, found.kin, found.notes, found.cautions) == (0, {}, (), ())


def test_cross_pair__what_a_label_leaves_open_comes_from_the_parents_and_kin_is_told() -> None:
    found = cross_pair(BOOK, "b3", " b2 ")
    assert found.dam.label == "Normal, het Albino"
    assert shares(found) == {"Normal, het Albino": Fraction(1, 2), "Albino": Fraction(1, 2)}
    assert found.notes == ("B3: what its label leaves open was taken from its recorded parents' labels.",)
    assert (found.inbreeding, found.kin) == (0.25, {"B2": 0.25})
    assert found.cautions == ("The young would be inbred by 25 %, more than the 12.5 % set as the most.",)


def test_cross_pair__labels_in_words() -> None:
    found = cross_pair(BOOK, "het Snow", "Moonglow", "meadow BOA")
    assert shares(found)["Snow"] == Fraction(1, 8)
    assert [young.genes for young in found.young if young.label == "Moonglow"] == ["Hypo Albino Anery"]
    assert found.inbreeding is None
    assert found.notes == ("Moonglow: Hypo is taken as one copy; write 'super Hypo' for two.",)


def test_cross_pair__sexes_apart_lethal_share_and_welfare() -> None:
    found = cross_pair(BOOK, "C1", "C2")
    assert found.lost == Fraction(1, 4)
    assert shares(found) == {
        ("M", "Ember, 50% het Veil"): Fraction(1, 3),
        ("M", "Normal, 50% het Veil"): Fraction(1, 6),
        ("F", "Ember"): Fraction(1, 6),
        ("F", "Ember Veil"): Fraction(1, 6),
        ("F", "Normal"): Fraction(1, 12),
        ("F", "Veil"): Fraction(1, 12),
    }
    assert found.welfare == ("Ember: Two copies die in the egg.",)
    assert found.cautions[0].startswith(
        "Two lethal copies can meet in this pair: 1/4 of what is conceived dies."
    )


def test_cross_pair__an_animal_with_a_label_and_the_dead_told() -> None:
    found = cross_pair(BOOK, "super Motley", "B4")
    assert set(shares(found)) == {"Motley", "Motley Hypo"}
    assert found.cautions == ("B4 is recorded as died.",)


def test_cross_pair__no_sex_recorded_is_taken_at_the_keeper_s_word() -> None:
    assert cross_pair(BOOK, "B6", "B2").notes == ("B6: no sex is recorded; it was taken at your word.",)


def test_cross_pair__thousands_of_classes_give_the_likeliest_forty() -> None:
    names = [f"G{i:02d}" for i in range(12)]
    known = Catalogue("Meadow boa", tuple(gene(name, "incomplete dominant") for name in names))
    found = cross_pair(collection(catalogues=(known,)), " ".join(names), " ".join(names))
    assert (len(found.young), found.unlisted) == (40, 3**12 - 40)
    assert found.unlisted_share == 1 - sum(young.probability for young in found.young)
    assert found.young[0].probability == Fraction(1, 2) ** 12


def test_cross_pair__says_what_it_had_to_assume_of_chromosomes() -> None:
    known = Catalogue(
        "Meadow boa", (gene("Ash", sex_linked=True), gene("Bole", linked_locus="Ash", recombination=0.1))
    )
    found = cross_pair(collection(catalogues=(known,)), "het Ash Bole", "Ash Bole")
    assert found.notes == (
        "het Ash Bole: how Ash + Bole lie on its two chromosomes is not known; both ways were taken as equally likely.",
        "Ash: recorded as sex-linked, but the sex chromosomes of Meadow boa are unknown; both sexes were treated alike.",
    )


@pytest.mark.parametrize(
    ("dam", "sire", "species", "message"),
    [
        ("B2", "B4", None, "B2 is a male, so it can't be the dam"),
        ("B1", "B3", None, "B3 is a female, so it can't be the sire"),
        ("B1", "C2", None, "B1 is a Meadow boa and C2 a Meadow corn: a pair is of one species"),
        ("B1", "B2", "meadow corn", "B1 is a Meadow boa, not a Meadow corn"),
        ("B1", "B2", "Medow boa", r"The book has no species Medow boa \(nearest: Meadow boa\); give --species one of: Meadow boa, Meadow corn, Meadow whip\."),
        (
            "Albino",
            "Anery",
            None,
            "Say of which species with --species: Meadow boa, Meadow corn, Meadow whip",
        ),
        ("B1", "B7", None, r"'B7' is no animal of the book \(nearest: B1\), and as a label: 'B7' is no gene"),
        ("B1", "Albnio", None, "'Albnio' is no animal of the book, and as a label: .* did you mean 'Albino'"),
        (
            "B5",
            "B2",
            None,
            "The dam B5: it has no readable label in the book, and neither have its parents; fill or correct its Genes",
        ),
        (
            "het Veil",
            "normal",
            "Meadow corn",
            "The dam het Veil: no female can be what the label says at Veil",
        ),
        (
            "super Ember",
            "super Ember",
            "Meadow corn",
            "super Ember x super Ember: no young of this pair can live",
        ),
        (" ", "B2", None, "Name a dam and a sire"),
        ("Twin", "B2", None, r"2 animals are called Twin \(B10, B9\); give the ID of the one you mean"),
        (
            "W1",
            "W2",
            None,
            "The Genes sheet lists no gene of Meadow whip that can be used; `proveout check` says",
        ),
    ],
)
def test_cross_pair__refuses_in_one_sentence(dam: str, sire: str, species: str | None, message: str) -> None:
    with pytest.raises(RequestError, match=message):
        cross_pair(BOOK, dam, sire, species)


def test_cross_pair__an_animal_by_its_name_or_an_id_spaced_otherwise() -> None:
    found = cross_pair(BOOK, " luna", "b8")
    assert (found.dam.animal, found.sire.animal) == ("B6", "B 8")


def test_cross_pair__a_label_comes_before_an_animal_of_that_name() -> None:
    found = cross_pair(BOOK, "B1", "Albino")
    assert (found.sire.animal, found.sire.label) == (None, "Albino")


def test_cross_pair__a_book_without_species() -> None:
    with pytest.raises(RequestError, match="The book names no species; fill the sheets Species and Genes"):
        cross_pair(collection(catalogues=()), "Albino", "normal")
