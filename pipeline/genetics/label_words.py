"""The words of a label and the names they may stand for: what labels.py reads and writes with.

Case, accents of width and punctuation carry no meaning; commas and semicolons part a label. A sign that is part of a
name ('T+ Albino', 'T- Albino') is kept and only looked at where two names differ in nothing else.
"""

import re
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from functools import lru_cache

from pipeline.genetics.genes import Catalogue, Gene, Inheritance

Key = tuple[str, ...]
BREAK = ","
PERCENT = "%"
HET = {"het", "hets", "heterozygous", "dh", "th"}
POSSIBLE = {"possible", "poss", "pos"}
SUPER = {"super", "hom", "homozygous"}
CONNECTORS = {"and", "x", "with", "plus", "visual"}
_TIMES = {"double", "dbl", "triple", "trip", "quad", "quadruple"}
_TRADE_ODDS = {
    Fraction(text): Fraction(third, 3)
    for third, texts in {1: ("33", "33.3", "33.33"), 2: ("66", "66.6", "66.66", "66.7", "66.67")}.items()
    for text in texts
}
"""'66 % het' means two thirds and '33 % het' one third: common practice, no source."""
_WORD = re.compile(
    r"(?P<number>(?<!\d[.,])\d{1,9}(?:[.,]\d{1,9})?|(?<!\w)\.\d{1,9})(?=\s*(?:%|percent\b|(?:possible |poss )?het\b))"
    r"|(?P<word>[^\W_]+(?:['’`][^\W_]+)*)(?P<sign>[+\-−])?"
    r"|(?P<percent>%)|(?P<break>[,;\n\r])",
    re.IGNORECASE,
)
"""A number counts where it states odds; elsewhere, and with more digits than odds have, it is part of a name."""


@dataclass(frozen=True)
class Word:
    """One word of a text: folded, with the sign that trails it, and where it stands in the text."""

    text: str
    sign: str = ""
    start: int = 0
    end: int = 0
    number: Fraction | None = None

    @property
    def signed(self) -> str:
        """The word with its sign, as it tells apart genes of one name."""
        return self.text + self.sign


def folded(text: str) -> str:
    """Text in one form of unicode (NFKC), with plain spaces."""
    return unicodedata.normalize("NFKC", text)


def fold(text: str) -> str:
    """A name as labels are read: without case and punctuation, but for a sign that is part of it ('T+ Albino')."""
    words = [word.signed for word in words_of(folded(text)) if word.text not in (BREAK, PERCENT)]
    return " ".join(words) or text.strip()


def words_of(text: str) -> list[Word]:
    """The words of a text already `folded`, breaks and percent signs among them; other punctuation is gone."""
    return list(_scanned(text))


@lru_cache(maxsize=4096)
def _scanned(text: str) -> tuple[Word, ...]:
    """A label is asked for its words when it is read, counted and priced, in book after book."""
    return tuple(_scan(text))


def _scan(text: str) -> Iterator[Word]:
    for match in _WORD.finditer(text):
        start, end = match.span()
        if match["break"]:
            yield Word(BREAK, start=start, end=end)
        elif match["percent"]:
            yield Word(PERCENT, start=start, end=end)
        elif match["number"]:
            yield Word(match["number"], "", start, end, Fraction(match["number"].replace(",", ".")))
        else:
            word = re.sub(r"['’`]", "", match["word"]).casefold()
            yield Word(word, _sign(match, text), start, end)


def _sign(match: re.Match[str], text: str) -> str:
    """A plus or minus belongs to the word before it at a word's end, or after a single letter."""
    sign = match["sign"] or ""
    if sign and len(match["word"]) > 1 and text[match.end() : match.end() + 1].isalnum():
        return ""
    return sign.replace("−", "-")


@dataclass(frozen=True)
class HetPhrase:
    """Words that say how sure one copy is: 1 'het', None 'possible het', else the odds stated.

    `het` is False for a percentage that no 'het' follows.
    """

    length: int
    probability: Fraction | None
    het: bool = True


def het_phrase(words: Sequence[Word], position: int) -> HetPhrase | None:
    """The phrase that begins at a position: '66% possible double het for', 'ph', 'dh' and the like; None where none does."""
    texts = [word.text for word in words[position : position + 6]] + [""] * 2
    number, ahead = words[position].number, 0
    odds = None if number is None else _TRADE_ODDS.get(number, number / 100)
    if number is not None:
        ahead = 1 + (texts[1] in (PERCENT, "percent"))
    possible = texts[ahead] == "ph" or (texts[ahead] in POSSIBLE and texts[ahead + 1] in HET | _TIMES)
    start = ahead
    ahead += possible
    ahead += texts[ahead] in _TIMES and texts[ahead + 1] in HET
    if texts[ahead] in HET:
        ahead += 1
    elif texts[start] != "ph":
        return None if number is None else HetPhrase(start, odds, het=False)
    ahead += texts[ahead] in ("for", "of")
    return HetPhrase(ahead, odds if possible or number is not None else Fraction(1))


class Role(Enum):
    """What a name stands for. Where one name stands for several things, the first role here wins."""

    GENE = 1
    TWO_COPIES = 2
    MORPH = 3


@dataclass(frozen=True)
class Name:
    """A name of the catalogue: a gene, what two copies of it are called, or a morph (`gene` is None then)."""

    role: Role
    text: str
    gene: Gene | None = None


class Vocabulary:
    """Every name of a catalogue, by its words."""

    def __init__(self, catalogue: Catalogue) -> None:
        self.names: list[str] = []
        self._signed: dict[Key, Name] = {}
        self._plain: dict[Key, list[Name]] = {}
        for text, name in _named(catalogue):
            self._add(text, name)
        self.longest = max(map(len, self._signed), default=0)

    def _add(self, text: str, name: Name) -> None:
        own = [word for word in words_of(folded(text)) if word.text not in (BREAK, PERCENT)]
        signed = tuple(word.signed for word in own)
        if not own or signed in self._signed:
            return
        self.names.append(text)
        self._signed[signed] = name
        self._plain.setdefault(tuple(word.text for word in own), []).append(name)

    def candidates(self, words: list[Word]) -> list[Name]:
        """The names these words are, all of them: several only where signs alone tell them apart."""
        exact = self._signed.get(tuple(word.signed for word in words))
        if exact:
            return [exact]
        found = self._plain.get(tuple(word.text for word in words), [])
        return list(
            {
                (name.role, name.gene, name.text if name.role is Role.MORPH else ""): name for name in found
            }.values()
        )

    def at(self, words: list[Word], position: int) -> tuple[list[Name], int]:
        """The longest name that begins at a position, and its number of words; ([], 0) where none does."""
        for length in range(min(self.longest, len(words) - position), 0, -1):
            found = self.candidates(words[position : position + length])
            if found:
                return found, length
        return [], 0

    def nearest(self, text: str) -> str | None:
        """The known name that a misspelt one is closest to, None where nothing is close."""
        from rapidfuzz import fuzz, process, utils

        best = process.extractOne(
            text, self.names, scorer=fuzz.ratio, processor=utils.default_process, score_cutoff=60
        )
        return best[0] if best else None


def _named(catalogue: Catalogue) -> Iterator[tuple[str, Name]]:
    """Names in the order in which they win where two are written alike."""
    for gene in catalogue.genes:
        yield gene.name, Name(Role.GENE, gene.name, gene)
    for gene in catalogue.genes:
        if gene.two_copies_name:
            shows_alike = gene.inheritance in (Inheritance.RECESSIVE, Inheritance.LINE_BRED)
            yield (
                gene.two_copies_name,
                Name(Role.GENE if shows_alike else Role.TWO_COPIES, gene.two_copies_name, gene),
            )
    for gene in catalogue.genes:
        for alias in gene.aliases:
            yield alias, Name(Role.GENE, alias, gene)
    for morph in catalogue.morphs:
        yield morph, Name(Role.MORPH, morph)


def vocabulary(catalogue: Catalogue) -> Vocabulary:
    """The names of a catalogue, gathered once and kept with it."""
    kept: Mapping[str, object] = vars(catalogue)
    if "_vocabulary" not in kept:
        vars(catalogue)["_vocabulary"] = Vocabulary(catalogue)
    return vars(catalogue)["_vocabulary"]


def find_gene(words: str, catalogue: Catalogue) -> Gene | None:
    """The gene of that name or alias, case and punctuation ignored; None where there is none, or more than one."""
    own = [word for word in words_of(folded(words)) if word.text not in (BREAK, PERCENT)]
    found = [name for name in vocabulary(catalogue).candidates(own) if name.role is Role.GENE]
    return found[0].gene if len(found) == 1 else None
