"""Labels: what a breeder writes, read and written again. All phrases are common practice of the trade, no source."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.genetics.labels import LabelError, find_gene, miscounted, percentage, read_label, write_label
from pipeline.genetics.statements import Carried, Shown, Statement
from tests.genetics.catalogues import BOAS, catalogue, catalogues, gene, statements

THIRDS = Fraction(2, 3)
ALBINO, ANERY = Carried("Albino"), Carried("Anery")


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("Motley", Statement((Shown("Motley", 1),))),
        ("Super Motley Hypo", Statement((Shown("Motley", 2), Shown("Hypo")))),
        ("full jungle", Statement((Shown("Jungle", 2),))),
        ("super jungle", Statement((Shown("Jungle", 2),))),
        ("super hypo", Statement((Shown("Hypo", 2),))),
        ("het Hypo", Statement((Shown("Hypo", 1),))),
        ("het Motley", Statement((Shown("Motley", 1),))),
        ("possible super Hypo", Statement((Shown("Hypo"),))),
        ("super Albino", Statement((Shown("Albino"),))),
        ("hom. Motley, homozygous Hypo", Statement((Shown("Motley", 2), Shown("Hypo", 2)))),
        ("visual Albino", Statement((Shown("Albino"),))),
        ("MOT-amel", Statement((Shown("Motley", 1), Shown("Albino")))),
        ("Motley + Hypo / Albino & Anery", read_label("Motley Hypo Albino Anery", BOAS)),
        ("Motley x Hypo and Albino", read_label("Motley Hypo Albino", BOAS)),
        ("\uff28\uff59\uff50\uff4f", Statement((Shown("Hypo"),))),
        ("Snow", Statement((Shown("Albino"), Shown("Anery")))),
        ("Moonglow", Statement((Shown("Hypo"), Shown("Albino"), Shown("Anery")))),
        ("Redline Albino", Statement((Shown("Albino"),), lines=("Redline",))),
        ("T+ Caramel", Statement((Shown("T+ Caramel"),))),
        ("T- Caramel T+ Caramel", Statement((Shown("T+ Caramel"), Shown("T- Caramel")))),
        ("T+ Caramel, het T- Caramel", Statement((Shown("T+ Caramel"), Shown("T- Caramel")))),
    ],
)
def test_read_label__what_shows(text: str, meant: Statement) -> None:
    assert read_label(text, BOAS) == meant


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("het Albino", (ALBINO,)),
        ("Normal het for Albino", (ALBINO,)),
        ("double het Albino Anery", (ALBINO, ANERY)),
        ("DH Albino/Anery", (ALBINO, ANERY)),
        ("triple het Snow", (ALBINO, ANERY)),
        ("66% het Albino", (Carried("Albino", THIRDS),)),
        ("66 % possible het Albino", (Carried("Albino", THIRDS),)),
        ("66.6% het Albino", (Carried("Albino", THIRDS),)),
        ("66,7% poss. het Albino", (Carried("Albino", THIRDS),)),
        ("66 percent het Snow", (Carried("Albino", THIRDS), Carried("Anery", THIRDS))),
        ("66 het Albino", (Carried("Albino", THIRDS),)),
        ("50 Poss het Albino", (Carried("Albino", Fraction(1, 2)),)),
        ("66%HET ALBINO", (Carried("Albino", THIRDS),)),
        ("33% het Anery", (Carried("Anery", Fraction(1, 3)),)),
        ("12.5% het Anery", (Carried("Anery", Fraction(1, 8)),)),
        ("100% het Anery", (ANERY,)),
        ("ph Albino, het Anery", (Carried("Albino", None), ANERY)),
        ("possible het Albino 50% het Anery", (Carried("Albino", None), Carried("Anery", Fraction(1, 2)))),
    ],
)
def test_read_label__what_hides(text: str, meant: tuple[Carried, ...]) -> None:
    assert read_label(text, BOAS) == Statement(carries=meant)


@pytest.mark.parametrize("text", ["normal", "Wild Type", "wild-type", "classic", "NORMAL."])
def test_read_label__wild_type_shows_nothing(text: str) -> None:
    assert read_label(text, BOAS) == Statement()


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("Hypo het Veil", Statement((Shown("Hypo"),))),
        ("66% het Veil, het Hypo", Statement((Shown("Hypo", 1),))),
        ("het Veil", Statement()),
        ("super Veil Hypo", Statement((Shown("Hypo"),))),
        ("not Veil", Statement()),
        ("Mist Hypo", Statement((Shown("Hypo"),), lines=("Veil",))),
    ],
)
def test_read_label__of_an_unsettled_gene_the_name_alone(text: str, meant: Statement) -> None:
    veil = gene("Veil", "line-bred", two_copies_name="Mist", unsettled=True)
    assert read_label(text, catalogue(veil, gene("Hypo", "dominant"))) == meant


@pytest.mark.parametrize("text", ["not Albino", "Normal, not het Albino", "0% het Albino"])
def test_read_label__not_there(text: str) -> None:
    assert read_label(text, BOAS) == Statement(lacks=("Albino",))


def test_read_label__het_reaches_to_the_comma_and_no_further() -> None:
    assert read_label("het Albino Anery, Motley", BOAS) == Statement((Shown("Motley", 1),), (ALBINO, ANERY))


def test_read_label__same_claim_twice_is_one() -> None:
    assert read_label("Snow Albino, Hypo het Hypo", BOAS).shows == (
        Shown("Hypo", 1),
        Shown("Albino"),
        Shown("Anery"),
    )


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "no gene is named"),
        (" , ", "no gene is named"),
        ("Albnio", "'Albnio' is no gene or morph name of Meadow boa; did you mean 'Albino'"),
        ("Motley qwertzu", "'qwertzu' is no gene or morph name of Meadow boa$"),
        ("Albino het Albino", "'Albino' and 'het Albino' can't both be so"),
        ("Motley super Motley", "'Motley' and 'super Motley' can't both be so"),
        ("Albino, not Albino", "'Albino' and 'not Albino' can't both be so"),
        ("het Albino, 66% het Albino", "'het Albino' and '66% het Albino' can't both be so"),
        ("66% het Motley", "one copy of Motley would show: write 'Motley' if it shows"),
        ("possible het Hypo", "one copy of Hypo would show"),
        ("T+ Caramel 66% het T- Caramel", r"one copy of T- Caramel would show beside T\+ Caramel"),
        ("120% het Albino", "'120% het': a percentage lies between 0 and 100"),
        ("0.5 het Albino", "'0.5 het': write the odds as a percentage, such as '50% het'"),
        ("Motley, .5 het Albino", "'.5 het': write the odds as a percentage, such as '50% het'"),
        ("het", "'het' is followed by no gene"),
        ("Motley, het", "'het' is followed by no gene"),
        ("66% het, Albino", "'66% het' is followed by no gene"),
        ("66% Albino", "'66%' must be followed by 'het' and a gene"),
        ("super", "'super' is followed by no gene"),
        ("not", "'not' is followed by no gene"),
        ("super Snow", "'super' goes with a single gene, and Snow is none"),
        ("not Snow", "'not' goes with a single gene, and Snow is none"),
        ("possible super Motley", "two copies of Motley look different"),
        ("het full jungle", "'full jungle' means two copies of Jungle: write 'het Jungle'"),
        ("het Redline", "Redline is line-bred, so no animal is het for it"),
        ("normal Motley", "'normal' says that nothing shows, yet Motley does"),
        ("T Caramel", r"'T Caramel' could be 'T\+ Caramel' or 'T- Caramel': write which"),
        ("Two-faced", "the genes of the morph name Two-faced can't be read: 'Albino' and 'het Albino'"),
    ],
)
def test_read_label__faults(text: str, message: str) -> None:
    with pytest.raises(LabelError, match=message):
        read_label(text, BOAS)


@pytest.mark.parametrize("odds", ["1" * 5_000, "66." + "6" * 5_000, "1" * 5_000 + ".5"])
def test_read_label__odds_of_thousands_of_digits_are_a_fault_like_another(odds: str) -> None:
    """Python turns no more than 4,300 digits into a number (its documented limit)."""
    with pytest.raises(LabelError):
        read_label(f"{odds}% het Albino", BOAS)


def test_read_label__all_faults_at_once_with_the_words_and_the_nearest_name() -> None:
    with pytest.raises(LabelError) as caught:
        read_label("Mottley blurp, 66% het Hypo, Anary", BOAS)
    assert [(fault.words, fault.nearest) for fault in caught.value.faults] == [
        ("Mottley blurp", "Motley"),
        ("Anary", "Anery"),
        ("66% het Hypo", None),
    ]


def test_read_label__more_variants_than_a_locus_holds() -> None:
    series = catalogue(
        *(gene(name, "incomplete dominant", locus="Series") for name in ("Ash", "Bole", "Char"))
    )
    with pytest.raises(LabelError, match="variants of one locus, of which an animal has two copies in all"):
        read_label("Ash Bole Char", series)
    with pytest.raises(LabelError, match="variants of one locus"):
        read_label("super Ash, het Bole", series)


def test_read_label__dominance_rank_decides_what_a_second_allele_does() -> None:
    series = catalogue(
        gene("Ash", "dominant", locus="S", rank=1), gene("Bole", "dominant", locus="S", rank=2)
    )
    assert read_label("Ash het Bole", series) == Statement((Shown("Ash"),), (Carried("Bole"),))
    assert read_label("Ash 50% het Bole", series) == Statement(
        (Shown("Ash"),), (Carried("Bole", Fraction(1, 2)),)
    )
    with pytest.raises(LabelError, match="Bole can't show beside Ash, which hides it: write 'het Bole'"):
        read_label("Ash Bole", series)


def test_read_label__morph_names_that_stand_for_themselves() -> None:
    ring = catalogue(gene("Albino"), Snow="Storm", Storm="Snow")
    with pytest.raises(LabelError, match="the morph name Snow stands for itself"):
        read_label("Snow", ring)


def test_read_label__longest_name_first() -> None:
    reds = catalogue(gene("Red"), gene("Red Stripe"), gene("Stripe"))
    assert read_label("Red Stripe", reds).shows == (Shown("Red Stripe"),)
    assert read_label("Stripe Red", reds).shows == (Shown("Red"), Shown("Stripe"))


@pytest.mark.parametrize(
    ("text", "written", "genes"),
    [
        ("hypo motley", "Motley Hypo", "Motley Hypo"),
        ("amel, hypo, anery, mot", "Moonglow Motley", "Motley Hypo Albino Anery"),
        ("anery amel full jungle", "Snow Full Jungle", "Albino Anery Full Jungle"),
        ("hypo amel, 66% het anery", "Sunglow, 66% het Anery", "Hypo Albino, 66% het Anery"),
        ("dh amel anery", "Normal, het Albino Anery", "Normal, het Albino Anery"),
        (
            "ph T+ Caramel, 50% het anery, het albino",
            "Normal, het Albino, 50% het Anery, possible het T+ Caramel",
            None,
        ),
        ("redline", "Normal, Redline", "Normal, Redline"),
        ("super hypo, not anery", "Super Hypo, not Anery", "Super Hypo, not Anery"),
        ("het hypo", "het Hypo", "het Hypo"),
        ("normal", "Normal", "Normal"),
    ],
)
def test_write_label__as_the_trade_writes(text: str, written: str, genes: str | None) -> None:
    statement = read_label(text, BOAS)
    assert write_label(statement, BOAS) == written
    assert write_label(statement, BOAS, morphs=False) == (genes or written)


def test_write_label__commas_where_two_names_would_read_as_a_third() -> None:
    reds = catalogue(gene("Red"), gene("Stripe"), gene("Red Stripe"))
    both = Statement((Shown("Red"), Shown("Stripe")))
    assert write_label(both, reds) == "Red, Stripe"
    assert (
        write_label(Statement(carries=(Carried("Red"), Carried("Stripe"))), reds)
        == "Normal, het Red, het Stripe"
    )


@pytest.mark.parametrize(
    ("chance", "text"),
    [(THIRDS, "66%"), (Fraction(1, 3), "33%"), (Fraction(1, 2), "50%"), (Fraction(1, 8), "13%"), (Fraction(1, 900), "1%"),
     (Fraction(899, 900), "99%"), (None, "possible")],
)  # fmt: skip
def test_percentage__as_the_trade_rounds(chance: Fraction | None, text: str) -> None:
    assert percentage(chance) == text


@given(st.data())
@settings(max_examples=300, deadline=None)
def test_write_label__reads_back_as_it_was(data: st.DataObject) -> None:
    known = data.draw(catalogues())
    statement = data.draw(statements(known))
    for morphs in (True, False):
        assert read_label(write_label(statement, known, morphs=morphs), known) == statement


@given(st.data())
@settings(max_examples=100, deadline=None)
def test_read_label__case_spacing_and_commas_between_shown_genes_mean_nothing(data: st.DataObject) -> None:
    known = data.draw(catalogues())
    statement = data.draw(statements(known))
    text = write_label(statement, known)
    for other in (
        text.upper(),
        text.lower(),
        text.replace(" ", "   "),
        f"  {text}.",
        text.replace(", ", ","),
    ):
        assert read_label(other, known) == statement


@given(st.text(max_size=40))
@settings(max_examples=200, deadline=None)
def test_read_label__any_text_is_read_or_refused_with_its_faults(text: str) -> None:
    try:
        assert isinstance(read_label(text, BOAS), Statement)
    except LabelError as error:
        assert error.faults and all(fault.message for fault in error.faults)


def test_find_gene__names_and_aliases_alone() -> None:
    assert find_gene("  MOT. ", BOAS).name == "Motley"
    assert find_gene("t+ caramel", BOAS).name == "T+ Caramel"
    assert find_gene("Snow", BOAS) is None
    assert find_gene("T Caramel", BOAS) is None
    assert find_gene("Full Jungle", BOAS) is None
    assert find_gene("", BOAS) is None


def test_read_label__two_names_written_alike_belong_to_the_gene() -> None:
    double = catalogue(gene("Snow"), gene("Ice", aliases=("Snow",)), Snow="Ice")
    assert read_label("Snow", double).shows == (Shown("Snow"),)
    assert read_label("Ice", double).shows == (Shown("Ice"),)


@pytest.mark.parametrize(
    "text",
    [
        "double het Albino Anery",
        "DH: Albino / Anery, Motley",
        "double het for Snow",
        "het Albino, Anery",
        "66% double het Snow",
    ],
)
def test_miscounted__trusts_a_count_that_is_met(text: str) -> None:
    assert miscounted(text, BOAS) == ()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("double het Albino, Anery", "'double' counts 2 genes, yet those up to the comma or the end are 1"),
        ("triple het Snow", "'triple' counts 3 genes, yet those up to the comma or the end are 2"),
        ("dh Albino 66% het Anery", "'dh' counts 2 genes, yet those up to the comma or the end are 1"),
    ],
)
def test_miscounted__doubts_a_count_that_the_comma_cuts(text: str, said: str) -> None:
    (doubt,) = miscounted(text, BOAS)
    assert doubt.startswith(said)
