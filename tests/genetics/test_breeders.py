"""What a recorded animal passes on: its label, then its parents' labels."""

from fractions import Fraction

import pytest

from pipeline.genetics.breeders import breeder, labelled_breeder
from pipeline.genetics.crosses import CrossError
from pipeline.genetics.labels import read_label, write_label
from tests.genetics.books import animal, collection
from tests.genetics.catalogues import BOAS, catalogue, gene

LINKED = catalogue(gene("Ash"), gene("Bole", linked_locus="Ash", recombination=0.1))


def taken(label: str | None, dam: str | None, sire: str | None, known=BOAS) -> tuple[str, tuple[str, ...]]:
    """The label used for a male of that label and parents, and the loci at which it went against them."""
    book = collection(
        animal("D", dam, known, sex="F"),
        animal("S", sire, known, sex="M"),
        animal("Y", label, known, sex="M", dam="D", sire="S"),
        catalogues=(known,),
    )
    found = breeder(book.animals["Y"], "M", book)
    assert all(sum(weights.values()) == 1 for weights in found.parent.groups)
    return write_label(found.taken_as, known) if found.taken_as else "several", found.against_parents


@pytest.mark.parametrize(
    ("label", "dam", "sire", "used"),
    [
        ("normal", "het Albino", "het Albino", "Normal, 66% het Albino"),
        ("normal", "het Albino", "normal", "Normal, 50% het Albino"),
        ("normal", "Albino", "normal", "Normal, het Albino"),
        ("Motley", "Motley het Anery", "Anery", "Motley, het Anery"),
        ("possible het Albino", "het Albino", "het Albino", "Normal, 66% het Albino"),
        ("50% het Albino", "het Albino", "het Albino", "Normal, 50% het Albino"),
        ("not Albino", "het Albino", "het Albino", "Normal, not Albino"),
        ("het Albino", "het Albino", "het Albino", "Normal, het Albino"),
        ("normal", "het Albino", None, "Normal, 50% het Albino"),
        ("Albino", "het Albino", None, "Albino"),
        ("het Anery", "het Albino", None, "Normal, het Anery, 50% het Albino"),
        ("66% het Anery", "normal", None, "Normal, 66% het Anery"),
        (None, "Albino", "Anery", "Normal, het Albino Anery"),
        (None, "het Albino", "het Albino", "several"),
        ("T+ Caramel", "T+ Caramel T- Caramel", "T+ Caramel", "T+ Caramel"),
        ("normal", "het T+ Caramel", "het T- Caramel", "Normal, 33% het T+ Caramel T- Caramel"),
        ("50% het T+ Caramel T- Caramel", "het T+ Caramel", "het T- Caramel", "Normal, 50% het T+ Caramel T- Caramel"),
    ],
)
def test_breeder__what_a_label_leaves_open_follows_from_the_parents(label, dam, sire, used: str) -> None:
    assert taken(label, dam, sire) == (used, ())


@pytest.mark.parametrize(
    ("label", "used", "place"),
    [
        ("Albino", "Albino", "Albino"),
        ("66% het Anery", "Normal, 66% het Anery", "Anery"),
        ("het Anery", "Normal, het Anery", "Anery"),
    ],
)
def test_breeder__a_label_against_its_parents_is_taken_at_its_word(label: str, used: str, place: str) -> None:
    assert taken(label, "normal", "normal") == (used, (place,))


def test_breeder__copies_of_a_dominant_gene_follow_from_the_parents() -> None:
    book = collection(
        animal("D", "Hypo", BOAS),
        animal("S", "Hypo", BOAS),
        animal("Y", "Hypo", BOAS, dam="D", sire="S"),
        catalogues=(BOAS,),
    )
    weights = breeder(book.animals["Y"], "F", book).parent.groups[1]
    assert weights == {((0,), (1,)): Fraction(2, 3), ((1,), (1,)): Fraction(1, 3)}


def test_breeder__the_phase_of_linked_genes_follows_from_the_parents() -> None:
    book = collection(
        animal("D", "Ash Bole", LINKED), animal("S", "normal", LINKED), animal("Y", "het Ash Bole", LINKED, dam="D", sire="S"),
        catalogues=(LINKED,),
    )  # fmt: skip
    assert breeder(book.animals["Y"], "F", book).parent.groups == ({((0, 0), (1, 1)): 1},)


def test_breeder__stated_odds_move_linked_genes_along() -> None:
    """Half a chance of Ash instead of two thirds; Bole follows through the link in proportion."""
    book = collection(
        animal("D", "het Ash", LINKED), animal("S", "het Ash", LINKED), animal("Y", "50% het Ash", LINKED, dam="D", sire="S"),
        catalogues=(LINKED,),
    )  # fmt: skip
    assert set(breeder(book.animals["Y"], "F", book).parent.groups[0].values()) == {Fraction(1, 2)}


def test_breeder__without_a_label_or_labelled_parents() -> None:
    book = collection(animal("D", None, BOAS), animal("Y", None, BOAS, dam="D"), catalogues=(BOAS,))
    with pytest.raises(
        CrossError,
        match="it has no readable label in the book, and neither have its parents; fill or correct its Genes",
    ):
        breeder(book.animals["Y"], "F", book)


def test_labelled_breeder__a_dominant_gene_is_one_copy_unless_said() -> None:
    one, two = (
        labelled_breeder(read_label(text, BOAS), "F", BOAS).parent.groups[1]
        for text in ("Hypo", "super Hypo")
    )
    assert (one, two) == ({((0,), (1,)): 1}, {((1,), (1,)): 1})
