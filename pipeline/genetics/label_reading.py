"""A label as the trade writes it, read word by word (use labels.py, the front door)."""

from dataclasses import dataclass, field
from fractions import Fraction

from pipeline.genetics.genes import Catalogue, Gene, Inheritance
from pipeline.genetics.label_claims import Claim, GeneClaim, LabelFault, canonical, claims_of, stated
from pipeline.genetics.label_words import (
    BREAK,
    CONNECTORS,
    HET,
    PERCENT,
    POSSIBLE,
    SUPER,
    Name,
    Role,
    Vocabulary,
    Word,
    folded,
    het_phrase,
    vocabulary,
    words_of,
)
from pipeline.genetics.statements import Statement

_NORMAL = {("normal",), ("wild", "type"), ("wildtype",), ("classic",)}


class LabelError(ValueError):
    """A label that can't be read; `faults` holds all that is wrong with it."""

    def __init__(self, faults: tuple[LabelFault, ...]) -> None:
        self.faults = faults
        super().__init__("; ".join(fault.message for fault in faults))


def read_label(text: str, catalogue: Catalogue) -> Statement:
    """What a label states, its genes in the catalogue's order.

    Raises LabelError with every fault: unreadable words, contradictions, more variants than a locus holds, odds of a
    gene that would show, percentages beyond 0 to 100, a 'het' of nothing, a text without a word.
    """
    known: dict[str, Statement | tuple[LabelFault, ...]] = vars(catalogue).setdefault("_labels", {})
    if text not in known:
        try:
            known[text] = _read(text, catalogue, ())
        except LabelError as error:
            known[text] = error.faults
    found = known[text]
    if isinstance(found, tuple):
        raise LabelError(found)
    return found


def morph_statement(name: str, catalogue: Catalogue) -> Statement:
    """What a morph name stands for. Raises LabelError where its own genes can't be read."""
    return read_label(catalogue.morphs[name], catalogue)


def _read(text: str, catalogue: Catalogue, within: tuple[str, ...]) -> Statement:
    reader = _Reader(folded(text), catalogue, vocabulary(catalogue), within)
    return reader.statement()


@dataclass
class _Scope:
    """What the words so far say about the names that follow: None probability is 'possible' without a number."""

    words: str
    probability: Fraction | None
    named: bool = False


@dataclass
class _Reader:
    """Walks over the words of one label. `within` are the morph names being unfolded, against rings."""

    text: str
    catalogue: Catalogue
    names: Vocabulary
    within: tuple[str, ...]
    claims: list[GeneClaim] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)
    faults: list[LabelFault] = field(default_factory=list)
    normal: bool = False
    unsettled: bool = False
    scope: _Scope | None = None
    position: int = 0
    unknown: list[Word] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.words = words_of(self.text)

    def statement(self) -> Statement:
        while self.position < len(self.words):
            self._step()
        self._close()
        found = stated(self.claims, self.catalogue, self.faults)
        if self.normal and found.shows:
            shown = found.shows[0].gene
            self._fault("normal", f"'normal' says that nothing shows, yet {shown} does: drop one of them")
        if not (self.claims or self.lines or self.normal or self.unsettled or self.faults):
            self._fault(
                self.text.strip(),
                "no gene is named: write 'normal' for wild type, leave blank where nobody looked",
            )
        if self.faults:
            raise LabelError(tuple(dict.fromkeys(self.faults)))
        return canonical(
            Statement(found.shows, found.carries, found.lacks, tuple(dict.fromkeys(self.lines))),
            self.catalogue,
        )

    def _step(self) -> None:
        names, length = self.names.at(self.words, self.position)
        if names:
            self._forget_unknown()
            self._name(names, self._taken(length))
        elif not any(
            step() for step in (self._break, self._het, self._super, self._not, self._normal, self._filler)
        ):
            self.unknown.append(self.words[self.position])
            self.position += 1
            return
        self._forget_unknown()

    def _taken(self, length: int) -> str:
        """The next `length` words as they were typed; steps over them."""
        first, last = self.words[self.position], self.words[self.position + length - 1]
        self.position += length
        return self.text[first.start : last.end]

    def _next(self, ahead: int = 0) -> str:
        place = self.position + ahead
        return self.words[place].text if place < len(self.words) else ""

    def _fault(self, words: str, message: str, nearest: str | None = None) -> None:
        self.faults.append(LabelFault(words, message, nearest))

    def _forget_unknown(self) -> None:
        """Unreadable words in a row are one fault."""
        if not self.unknown:
            return
        words = self.text[self.unknown[0].start : self.unknown[-1].end]
        self.unknown = []
        nearest = self.names.nearest(words)
        hint = f"; did you mean '{nearest}'?" if nearest else ""
        self._fault(words, f"'{words}' is no gene or morph name of {self.catalogue.species}{hint}", nearest)
        if self.scope:
            self.scope.named = True

    def _break(self) -> bool:
        if self._next() != BREAK:
            return False
        self._forget_unknown()
        self._close()
        self.position += 1
        return True

    def _close(self) -> None:
        self._forget_unknown()
        if self.scope and not self.scope.named:
            self._fault(self.scope.words, f"'{self.scope.words}' is followed by no gene")
        self.scope = None

    def _het(self) -> bool:
        """'het', 'double het', '66% het', 'possible het', 'ph', each with or without 'for'."""
        phrase = het_phrase(self.words, self.position)
        if phrase is None:
            return False
        self._close()
        words = self._taken(phrase.length)
        if not phrase.het:
            self._fault(words, f"'{words}' must be followed by 'het' and a gene")
            return True
        wrong = _odds_fault(words, phrase.probability)
        if wrong:
            self._fault(words, f"'{words}': {wrong}")
        self.scope = _Scope(words, None if wrong else phrase.probability)
        return True

    def _super(self) -> bool:
        """'super NAME', also 'hom' or 'homozygous', and 'possible super NAME' of a dominant gene, which shows either way."""
        possible = self._next() in POSSIBLE
        if self._next(possible) not in SUPER:
            return False
        gene, words = self._single_gene(self._next(possible), 1 + possible)
        if gene and possible and gene.inheritance is not Inheritance.DOMINANT:
            self._fault(
                words, f"'{words}': two copies of {gene.name} look different, so it is super or it is not"
            )
        elif gene:
            shows = possible or gene.inheritance is Inheritance.RECESSIVE
            self._claim(gene, Claim.SHOWS if shows else Claim.TWO)
        return True

    def _not(self) -> bool:
        if self._next() != "not":
            return False
        gene, _ = self._single_gene("not", 1 + (self._next(1) in HET))
        if gene:
            self._claim(gene, Claim.NONE)
        return True

    def _single_gene(self, word: str, length: int) -> tuple[Gene | None, str]:
        """The gene after a word that goes with one gene alone, and the words as typed; None with a fault otherwise."""
        self._forget_unknown()
        words = self._taken(length)
        names, length = self.names.at(self.words, self.position)
        if not names:
            self._fault(words, f"'{words}' is followed by no gene")
            return None, words
        name, words = self._one(names, words), f"{words} {self._taken(length)}"
        if name and name.gene and name.gene.unsettled:
            self.unsettled = True
            return None, words
        if name and (name.gene is None or name.gene.inheritance is Inheritance.LINE_BRED):
            self._fault(words, f"'{words}': '{word}' goes with a single gene, and {name.text} is none")
            return None, words
        return name.gene if name else None, words

    def _normal(self) -> bool:
        for phrase in _NORMAL:
            if tuple(self._next(ahead) for ahead in range(len(phrase))) == phrase:
                self.normal = True
                self.position += len(phrase)
                return True
        return False

    def _filler(self) -> bool:
        if self._next() not in CONNECTORS:
            return False
        self.position += 1
        return True

    def _one(self, names: list[Name], words: str) -> Name | None:
        """The name meant, or a fault where a sign alone tells several apart."""
        if len(names) == 1:
            return names[0]
        options = " or ".join(f"'{name.text}'" for name in names)
        self._fault(words, f"'{words}' could be {options}: write which")
        return None

    def _name(self, names: list[Name], words: str) -> None:
        name = self._one(names, words)
        if self.scope:
            self.scope.named = True
        if name is None:
            return
        gene = name.gene
        if gene is None:
            self._morph(name.text, words)
        elif gene.inheritance is Inheritance.LINE_BRED:
            self._line(gene, words)
        elif name.role is not Role.TWO_COPIES:
            self._named(gene)
        elif self.scope:
            self._fault(words, f"'{words}' means two copies of {gene.name}: write 'het {gene.name}' for one")
        else:
            self._claim(gene, Claim.TWO)

    def _named(self, gene: Gene) -> None:
        """A gene by name: it shows, or it is claimed with the odds of the words before it."""
        if not self.scope:
            self._claim(gene, Claim.SHOWS)
        elif self.scope.probability == 0:
            self._claim(gene, Claim.NONE)
        else:
            self._claim(gene, Claim.ONE, self.scope.probability)

    def _line(self, gene: Gene, words: str) -> None:
        if self.scope and gene.unsettled:
            self.unsettled = True
        elif self.scope:
            self._fault(
                f"{self.scope.words} {words}", f"{gene.name} is line-bred, so no animal is het for it"
            )
        else:
            self.lines.append(gene.name)

    def _claim(self, gene: Gene, claim: Claim, probability: Fraction | None = Fraction(1)) -> None:
        self.claims.append(GeneClaim(gene, claim, probability))

    def _morph(self, morph: str, words: str) -> None:
        """A morph name stands for its genes: as they are, or one copy of each that shows after 'het'."""
        if morph in self.within:
            self._fault(words, f"the morph name {morph} stands for itself: mend the sheet Morph names")
            return
        try:
            genes = _read(self.catalogue.morphs[morph], self.catalogue, (*self.within, morph))
        except LabelError as error:
            self._fault(words, f"the genes of the morph name {morph} can't be read: {error}")
            return
        if self.scope:
            for shown in genes.shows:
                self._named(self.catalogue.by_name[shown.gene])
            return
        self.lines += genes.lines
        self.claims += claims_of(genes, self.catalogue)


def _odds_fault(words: str, odds: Fraction | None) -> str:
    """Why these words can't state odds, '' where they can; '0.5 het' without a sign is a share or a percentage."""
    if odds is None:
        return ""
    if not 0 <= odds <= 1:
        return "a percentage lies between 0 and 100"
    signed = PERCENT in words or "percent" in words.casefold()
    return "" if signed or odds > Fraction(1, 100) else "write the odds as a percentage, such as '50% het'"
