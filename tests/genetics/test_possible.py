"""The genotypes that labels and pedigree leave open, against going through all of them."""

from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.genetics.haplotypes import gametes, genotype
from pipeline.genetics.labels import read_label, write_label
from pipeline.genetics.possible import possible_diplotypes
from pipeline.genetics.statements import Statement
from tests.genetics.books import animal, collection
from tests.genetics.catalogues import BOAS, catalogue, catalogues, gene, statements


def possible(
    label: str | None, dam: str | None, sire: str | None, gene_name: str, known=BOAS, sex=None
) -> set[tuple]:
    """The genotypes at one locus of an animal with that label and those parents ('?': not recorded)."""
    parents = [
        animal(id, text, known, sex=of) for id, text, of in (("D", dam, "F"), ("S", sire, "M")) if text != "?"
    ]
    ids = {entry.id for entry in parents}
    own = animal(
        "Y", label, known, sex=sex, dam="D" if "D" in ids else None, sire="S" if "S" in ids else None
    )
    found = possible_diplotypes(collection(*parents, own, catalogues=(known,)))["Y"]
    for group, diplotypes in zip(known.groups, found, strict=True):
        for position, locus in enumerate(group.loci):
            if gene_name in [g.name for g in locus.genes]:
                return {genotype(diplotype, position) for diplotype in diplotypes}
    raise AssertionError(gene_name)


def test_possible_diplotypes__a_plain_young_of_two_hets_may_carry() -> None:
    assert possible("normal", "het Albino", "het Albino", "Albino") == {(0, 0), (0, 1)}


def test_possible_diplotypes__a_plain_young_of_plain_parents_may_not() -> None:
    assert possible("normal", "normal", "normal", "Albino") == {(0, 0)}


def test_possible_diplotypes__certain_claims_hold() -> None:
    assert possible("het Albino", "het Albino", "het Albino", "Albino") == {(0, 1)}
    assert possible("not Albino", "het Albino", "het Albino", "Albino") == {(0, 0)}
    assert possible("66% het Albino", "het Albino", "het Albino", "Albino") == {(0, 0), (0, 1)}


def test_possible_diplotypes__a_label_without_parents_is_taken_at_its_word() -> None:
    assert possible("normal", "?", "?", "Albino") == {(0, 0)}
    assert possible("Hypo", "?", "?", "Hypo") == {(0, 1), (1, 1)}
    assert possible(None, "?", "?", "Albino") == {(0, 0), (0, 1), (1, 1)}


def test_possible_diplotypes__a_parent_of_unknown_sex_has_the_sex_of_its_part() -> None:
    """ZW: the hen has one Z, so that a hen that shows Ash has no other allele."""
    zw = catalogue(gene("Ash", "dominant", sex_linked=True), chromosomes="ZW")
    hen, cock = animal("D", "Ash", zw), animal("S", "Ash", zw)
    found = possible_diplotypes(
        collection(hen, cock, animal("Y", "Ash", zw, dam="D", sire="S"), catalogues=(zw,))
    )
    assert found["D"] == (frozenset({((1,),)}),)
    assert found["S"] == (frozenset({((0,), (1,)), ((1,), (1,))}),)


def test_possible_diplotypes__one_recorded_parent() -> None:
    assert possible("normal", "het Albino", "?", "Albino") == {(0, 0), (0, 1)}
    assert possible("Albino", "het Albino", "?", "Albino") == {(1, 1)}


def test_possible_diplotypes__a_label_against_its_parents_stands() -> None:
    assert possible("Albino", "normal", "normal", "Albino") == {(1, 1)}


def test_possible_diplotypes__lethal_single_copies_are_struck_out() -> None:
    flies = catalogue(gene("Ash", sex_linked=True, lethal=True), chromosomes="XY")
    assert possible(None, "het Ash", "normal", "Ash", flies, "M") == {(0,)}
    assert possible(None, "het Ash", "normal", "Ash", flies, "F") == {(0, 0), (0, 1)}


@given(st.data())
@settings(max_examples=80, deadline=None)
def test_possible_diplotypes__young_of_possible_parents_look_like_their_label(data: st.DataObject) -> None:
    """A young drawn from its parents' gametes, labelled by its look, keeps its own diplotype among the possible ones."""
    known = data.draw(catalogues(loci=3, lethal=False))
    dam, sire = (data.draw(statements(known)) for _ in range(2))
    book = collection(
        animal("D", write_label(dam, known), known, sex="F"),
        animal("S", write_label(sire, known), known, sex="M"),
        catalogues=(known,),
    )
    parents = possible_diplotypes(book)
    drawn, shows = [], []
    for i, group in enumerate(known.groups):
        strands = [
            data.draw(
                st.sampled_from(sorted(gametes(data.draw(st.sampled_from(sorted(parents[who][i]))), group)))
            )
            for who in "DS"
        ]
        drawn.append(tuple(sorted(strands)))
        for position, locus in enumerate(group.loci):
            look = locus.appearance(genotype(drawn[-1], position))
            names = {text: g for g in locus.genes for text in (g.name, g.super_name)}
            shows += [f"super {names[text].name}" if text not in known.by_name else text for text in look]
    label = write_label(read_label(", ".join(shows) or "normal", known), known)
    young = animal("Y", label, known, dam="D", sire="S")
    found = possible_diplotypes(collection(*book.animals.values(), young, catalogues=(known,)))["Y"]
    assert all(own in options for own, options in zip(drawn, found, strict=True))


def test_possible_diplotypes__no_statement_is_no_claim() -> None:
    assert possible(None, "het Albino", "het Albino", "Albino") == {(0, 0), (0, 1), (1, 1)}
    assert Statement() == read_label("normal", BOAS)
