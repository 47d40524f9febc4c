"""Genes that labels name and no list of genes declares: rows of the Genes sheet to fill in.

A label is taken apart as the reading of labels does it, so far as that goes without knowing a gene: words for copies
and odds are set aside, commas part names. Words between them are one name unless a part of them stands alone elsewhere:
'Motley Hypo' is two genes once 'Hypo' is met by itself. How a gene is inherited is not guessed.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from pipeline.genetics.label_words import (
    BREAK,
    CONNECTORS,
    PERCENT,
    POSSIBLE,
    SUPER,
    Word,
    folded,
    het_phrase,
    words_of,
)
from pipeline.workbook.bringing.records import Values
from pipeline.workbook.bringing.wording import words_of as as_text
from pipeline.workbook.cells import BLANKS

_NO_NAMES = SUPER | CONNECTORS | POSSIBLE | {"not", "or", BREAK, PERCENT}
_NORMAL = {"normal", "wildtype", "classic", "wt"}
_MOST_WORDS = 4
_ALIKE = 85.0

Name = tuple[str, ...]


@dataclass
class _Names:
    """Names met in the labels of one species: how often in which spelling, and one label that has each.

    No name known is of more words than `longest`.
    """

    known: set[Name]
    longest: int
    spellings: dict[Name, Counter] = field(default_factory=dict)
    example: dict[Name, str] = field(default_factory=dict)


def declared_names(records: Mapping[str, Sequence[Values]]) -> dict[str, set[Name]]:
    """Names that the list declares itself, by species (lower case): genes, other spellings, doubles, morph names."""
    found: dict[str, set[Name]] = {}
    for row in records.get("Genes", ()):
        names = [
            row.get("Gene"),
            row.get("Two copies name"),
            *as_text(row.get("Also written", "")).replace(",", ";").split(";"),
        ]
        found.setdefault(_species(row), set()).update(
            map(_key, filter(None, map(as_text, filter(None, names))))
        )
    for row in records.get("Morph names", ()):
        found.setdefault(_species(row), set()).add(_key(as_text(row.get("Name", ""))))
    return found


def gene_rows(labels: Iterable[tuple[str, str]], declared: Mapping[str, set[Name]]) -> list[Values]:
    """A row of the Genes sheet for every name that labels use and `declared` lacks, Inheritance left blank.

    `labels` are pairs of species and label; the order of rows does not matter.
    """
    by_species: dict[str, tuple[str, set[str]]] = {}
    for species, label in sorted(labels):
        if label.lower() not in BLANKS:
            by_species.setdefault(species.casefold(), (species, set()))[1].add(label)
    rows = []
    for key, (species, texts) in sorted(by_species.items()):
        known = set(declared.get(key, ())) - {()}
        names = _Names(known, max(_MOST_WORDS, *map(len, known)) if known else _MOST_WORDS)
        _gather(names, texts)
        rows += [_row(species, name, names) for name in sorted(names.spellings)]
    return rows


def _gather(names: _Names, texts: Iterable[str]) -> None:
    """Shorter runs of words first, so that what stands alone parts what stands together."""
    runs = [(run, text) for text in sorted(texts) for run in _runs(text)]
    for run, text in sorted(runs, key=lambda item: (len(item[0]), [word.text for word in item[0]], item[1])):
        for part in _unknown_parts(run, names):
            name = tuple(word.text for word in part)
            spelled = " ".join(folded(text)[word.start : word.end] for word in part)
            names.spellings.setdefault(name, Counter())[spelled] += 1
            names.example.setdefault(name, text)
            names.known.add(name)


def _runs(text: str) -> Iterator[list[Word]]:
    """The words between commas, odds and words for copies."""
    words, position = words_of(folded(text)), 0
    run: list[Word] = []
    while position < len(words):
        phrase = het_phrase(words, position)
        if phrase or words[position].text in _NO_NAMES | _NORMAL or _is_wild_type(words, position):
            if run:
                yield run
            run = []
            position += max(1, phrase.length) if phrase else 1 + _is_wild_type(words, position)
        else:
            run.append(words[position])
            position += 1
    if run:
        yield run


def _is_wild_type(words: Sequence[Word], position: int) -> bool:
    return [word.text for word in words[position : position + 2]] == ["wild", "type"]


def _unknown_parts(run: Sequence[Word], names: _Names) -> Iterator[list[Word]]:
    """What is left of a run when the names known so far are taken out, the longest first.

    A name already met is counted for its spelling; bare numbers, and more words than a name has, are none.
    """
    part: list[Word] = []
    position = 0
    while position <= len(run):
        length = _known_length(run, position, names)
        if (length or position == len(run)) and part:
            if len(part) <= _MOST_WORDS and not all(word.text.isdigit() for word in part):
                yield part
            part = []
        if length:
            own = list(run[position : position + length])
            if tuple(word.text for word in own) in names.spellings:
                yield own
        elif position < len(run):
            part.append(run[position])
        position += length or 1


def _known_length(run: Sequence[Word], position: int, names: _Names) -> int:
    texts = tuple(word.text for word in run[position : position + names.longest])
    return next((n for n in range(len(texts), 0, -1) if texts[:n] in names.known), 0)


def _row(species: str, name: Name, names: _Names) -> Values:
    spelled, _ = min(names.spellings[name].items(), key=lambda item: (-item[1], item[0]))
    note = f"Found in the label '{names.example[name][:80]}'. Fill in Inheritance; a name for several genes belongs on Morph names."
    if near := _near(name, names):
        note += f" If it is only a spelling of {near}, write it under Also written there and delete this row."
    return {"Species": species or None, "Gene": spelled, "Notes": note}


def _near(name: Name, names: _Names) -> str | None:
    from rapidfuzz import fuzz, process

    others = [" ".join(other) for other in sorted(names.known - {name})]
    near = process.extractOne(" ".join(name), others, scorer=fuzz.ratio, score_cutoff=_ALIKE)
    return near[0] if near else None


def _key(text: str) -> Name:
    return tuple(word.text for word in words_of(folded(text)) if word.text not in (BREAK, PERCENT))


def _species(row: Values) -> str:
    return as_text(row.get("Species", "")).casefold()
