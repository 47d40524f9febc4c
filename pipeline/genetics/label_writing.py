"""A statement as the label a breeder would write on the tub (use labels.py, the front door)."""

from collections.abc import Iterator, Sequence

from pipeline.genetics.genes import Catalogue, Inheritance
from pipeline.genetics.label_claims import canonical, percentage
from pipeline.genetics.label_reading import LabelError, morph_statement
from pipeline.genetics.label_words import Role, Vocabulary, folded, vocabulary, words_of
from pipeline.genetics.statements import Shown, Statement


def write_label(statement: Statement, catalogue: Catalogue, *, morphs: bool = True) -> str:
    """A statement in the words of the trade: what shows, hets by falling odds, what is not there, lines.

    The morph name that covers most of the shown genes stands for them (ties: the first of the catalogue), unless
    `morphs` is False. Percentages are whole numbers from 1 to 99; two thirds are 66 %, a third is 33 % (common
    practice, no source). Reading the text gives the statement again where its odds are such numbers.
    """
    written: dict[tuple[Statement, bool], str] = vars(catalogue).setdefault("_written", {})
    asked = (statement, morphs)
    if asked not in written:
        written[asked] = _written(statement, catalogue, morphs)
    return written[asked]


def _written(statement: Statement, catalogue: Catalogue, morphs: bool) -> str:
    own, names = canonical(statement, catalogue), vocabulary(catalogue)
    morph = _most_specific(own, catalogue) if morphs else None
    parts = [_side_by_side(_shown_names(own, morph, catalogue), names)] if own.shows else ["Normal"]
    parts += [_side_by_side(hets, names, words) for words, hets in _hets(own, catalogue)]
    parts += [f"not {name}" for name in own.lacks]
    covered = morph_statement(morph, catalogue).lines if morph else ()
    parts += [line for line in own.lines if line not in covered]
    return ", ".join(filter(None, parts))


def _most_specific(statement: Statement, catalogue: Catalogue) -> str | None:
    """The morph name whose genes all show just so, and most of them."""
    best, most = None, 0
    for morph in catalogue.morphs:
        try:
            genes = morph_statement(morph, catalogue)
        except LabelError:
            continue
        fits = set(genes.shows) <= set(statement.shows) and set(genes.lines) <= set(statement.lines)
        if fits and not genes.carries and not genes.lacks and len(genes.shows) > most:
            best, most = morph, len(genes.shows)
    return best


def _shown_names(statement: Statement, morph: str | None, catalogue: Catalogue) -> list[str]:
    """The morph and the shown genes it leaves; one sure copy of a dominant gene is written with the hets."""
    covered = morph_statement(morph, catalogue).shows if morph else ()
    left = [shown for shown in statement.shows if shown not in covered and not _written_het(shown, catalogue)]
    return ([morph] if morph else []) + [_shown_name(shown, catalogue) for shown in left]


def _written_het(shown: Shown, catalogue: Catalogue) -> bool:
    return shown.copies == 1 and catalogue.by_name[shown.gene].inheritance is Inheritance.DOMINANT


def _shown_name(shown: Shown, catalogue: Catalogue) -> str:
    gene = catalogue.by_name[shown.gene]
    if shown.copies != 2 or gene.inheritance is Inheritance.RECESSIVE:
        return gene.name
    found = vocabulary(catalogue).candidates(words_of(folded(gene.super_name)))
    own = [name.gene for name in found if name.role is Role.TWO_COPIES] == [gene]
    return gene.super_name if own else f"Super {gene.name}"


def _hets(statement: Statement, catalogue: Catalogue) -> Iterator[tuple[str, list[str]]]:
    """Genes of one copy, grouped by the words that say how sure it is, the surest first."""
    sure = [shown.gene for shown in statement.shows if _written_het(shown, catalogue)]
    sure += [carried.gene for carried in statement.carries if carried.probability == 1]
    if sure:
        yield "het ", sorted(sure, key=catalogue.place.__getitem__)
    unsure = [
        (carried.probability or 0, percentage(carried.probability), carried.gene)
        for carried in statement.carries
        if carried.probability != 1
    ]
    for words in dict.fromkeys(words for _, words, _ in sorted(unsure, key=lambda one: -one[0])):
        yield f"{words} het ", [gene for _, own, gene in unsure if own == words]


def _side_by_side(names: Sequence[str], vocabulary: Vocabulary, before: str = "") -> str:
    """Names with spaces between them, or commas where spaces would let two run into another name."""
    if len(names) < 2:
        return before + names[0] if names else ""
    known: dict[tuple[str, ...], bool] = vars(vocabulary).setdefault("_apart", {})
    asked = tuple(names)
    if asked not in known:
        apart = [length for name in names for length in _lengths(name, vocabulary)]
        known[asked] = _lengths(" ".join(names), vocabulary) == apart
    return before + " ".join(names) if known[asked] else ", ".join(before + name for name in names)


def _lengths(text: str, vocabulary: Vocabulary) -> list[int]:
    """How many words each name takes when the text is read; 0 for a word that begins none."""
    words, position, found = words_of(folded(text)), 0, []
    while position < len(words):
        _, length = vocabulary.at(words, position)
        found.append(length)
        position += max(length, 1)
    return found
