"""Catalogues and labels from a run of choices, and what the label parser promises of each."""

from pipeline.genetics.genes import Catalogue, Gene, Inheritance, SexChromosomes
from pipeline.genetics.labels import LabelError, read_label, write_label
from tests.genetics.catalogues import ALIASES, BOAS, MORPHS, NAMES, TWO_COPIES

WORDS = (
    *NAMES, *ALIASES, *TWO_COPIES, *MORPHS, *BOAS.by_name, *BOAS.morphs, "het", "hets", "double het", "possible", "poss", "ph", "dh", "super", "not",
    "normal", "wild type", "and", "x", "for", "of", "percent", "66%", "50 %", "100%", "0%", "33.3%", "-", "+", ",", ";", "\n", "'", "%", "9" * 30,
    "İ", "ß", "ﬁ", "²", "٣", "\u0300", "é", "\u200b",
)  # fmt: skip
_LONGEST = 400


def check_label(catalogue: Catalogue, text: str) -> bool:
    """Whether the label can be read.

    Reading ends in a Statement that reads the same when written out, or in a LabelError that says what is wrong.
    AssertionError, or whatever else is raised, where the parser does not keep that word.
    """
    try:
        statement = read_label(text, catalogue)
    except LabelError as error:
        assert error.faults, "an error without a fault"
        assert all(fault.message for fault in error.faults)
        return False
    written = write_label(statement, catalogue)
    assert read_label(written, catalogue) == statement, f"written as {written!r}"
    return True


def catalogue_of(take) -> Catalogue:
    """A catalogue by choices: `take(n)` gives a number below n."""
    if take(2):
        return BOAS
    names, aliases, doubles = list(NAMES), list(ALIASES), list(TWO_COPIES)
    genes = []
    for locus in range(1 + take(4)):
        for _ in range(1 + take(3)):
            genes.append(
                Gene(
                    names.pop(take(len(names))), list(Inheritance)[take(4)], f"locus {locus}",
                    (aliases.pop(take(len(aliases))),) if take(2) else (), [None, 1, 2][take(3)],
                    doubles.pop(take(len(doubles))) if take(3) == 0 and doubles else "", sex_linked=take(4) == 0,
                )
            )  # fmt: skip
    morphs = {
        MORPHS[take(len(MORPHS))]: " ".join(genes[take(len(genes))].name for _ in range(1 + take(3)))
        for _ in range(take(3))
    }
    return Catalogue("Meadow boa", tuple(genes), list(SexChromosomes)[take(3)], morphs)


def label_of(take, raw) -> str:
    """A label of known words and raw text, by choices."""
    parts = [WORDS[take(len(WORDS))] if take(4) else raw() for _ in range(1 + take(12))]
    return (" " if take(5) else "").join(parts)[:_LONGEST]
