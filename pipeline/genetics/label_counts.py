"""'double het' and 'triple het' against the number of genes that follow them.

'Het' reaches to the next comma, so 'triple het Albino, Anery, Motley' claims one het and shows the others. It can be
read, but hardly anybody means it: a doubt, not a fault.
"""

from collections.abc import Sequence

from pipeline.genetics.genes import Catalogue
from pipeline.genetics.label_reading import morph_statement
from pipeline.genetics.label_words import BREAK, Role, Word, folded, het_phrase, vocabulary, words_of

_COUNTS = {"double": 2, "dbl": 2, "dh": 2, "triple": 3, "trip": 3, "th": 3, "quad": 4, "quadruple": 4}


def miscounted(text: str, catalogue: Catalogue) -> tuple[str, ...]:
    """A doubt for each phrase of a readable label that counts other than the genes it reaches."""
    words, names = words_of(folded(text)), vocabulary(catalogue)
    doubts, position = [], 0
    while position < len(words):
        _, length = names.at(words, position)
        phrase = None if length else het_phrase(words, position)
        after = position + (phrase.length if phrase else max(length, 1))
        said = [word.text for word in words[position:after] if word.text in _COUNTS] if phrase else []
        if said and (genes := _reached(words, after, catalogue)) != _COUNTS[said[0]]:
            doubts.append(
                f"'{said[0]}' counts {_COUNTS[said[0]]} genes, yet those up to the comma or the end are {genes}, and only "
                "they count as het"
            )
        position = after
    return tuple(doubts)


def _reached(words: Sequence[Word], position: int, catalogue: Catalogue) -> int:
    """How many genes stand from a position up to the next comma or 'het'; a morph name counts the genes it shows."""
    names, genes = vocabulary(catalogue), 0
    while position < len(words) and words[position].text != BREAK and not het_phrase(words, position):
        found, length = names.at(list(words), position)
        if found:
            morph = found[0].role is Role.MORPH
            genes += len(morph_statement(found[0].text, catalogue).shows) if morph else 1
        position += max(length, 1)
    return genes
