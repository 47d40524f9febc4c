"""How records are read where the Genes sheet is not as recorded: a look by the classes that the keeper looked for.

Who misreads a young takes it for one of the classes he knows, whatever the truth of the gene is. So a look is read at
each recorded locus by itself: as it is with 1 - misread, as each other class of that locus with misread / (classes - 1).
Were the classes those of the other sheet, one class the fewer would make each misreading likelier and every ordinary
young speak a little for that sheet, which adds up in a large book. Only where a recorded locus is taken apart, or shows in
one copy and was thought not to, do the other sheet's own classes count, for what was written in its words (rewording.py).
"""

from collections.abc import Iterable
from functools import lru_cache
from math import prod

import numpy as np

from pipeline.genetics.carriers import evidence
from pipeline.genetics.carriers.spaces import Kind, Space
from pipeline.genetics.carriers.stacks import Stack, stacks
from pipeline.genetics.collection import Settings
from pipeline.genetics.genes import Appearance, Catalogue, Locus
from pipeline.genetics.statements import Statement, shown_at
from pipeline.genetics.suspicions.rewording import Wording


class Reread(Stack):
    """A stack under another Genes sheet than the recorded one, asked in the words of the recorded one."""

    def __init__(self, spaces: tuple[Space, ...], settings: Settings, wording: Wording) -> None:
        super().__init__(spaces, settings)
        self._wording = wording

    def only(self, spaces: tuple[Space, ...]) -> "Reread":
        return Reread(spaces, self._settings, self._wording)

    def meant(self, label: Statement, *, founder: bool = False) -> Statement:
        return self._wording.statement(label, founder=founder)

    def founder(self, label: Statement | None, error: float, kind: Kind) -> np.ndarray:
        return super().founder(label and self.meant(label, founder=True), error, kind)

    def claims(self, label: Statement, error: float, kind: Kind, *, percents: bool) -> np.ndarray:
        return super().claims(self.meant(label), error, kind, percents=percents)

    def reading(self, label: Statement, kind: Kind, unreadable: Iterable[str] | None = None) -> np.ndarray:
        left = None if unreadable is None else frozenset(unreadable)

        def odds(locus: Locus, single: bool) -> evidence.Odds:
            """What the look says of one locus of the other sheet."""
            known = self._wording.known(locus)
            if known:
                seen = [r for r in known if left is None or evidence.readable(r, left)]
                return self._apart(label, locus, seen, single)
            if left is not None and not evidence.readable(locus, left):
                return dict.fromkeys(evidence.viable_genotypes(locus, single=single), 1.0)
            misread = evidence.misread_at(locus, self._settings.misread)
            return evidence.reading_odds(self.meant(label), locus, misread=misread, single=single)

        return self._array(("reread", label, kind, left), lambda space: space.likelihood(kind, odds))

    def _apart(self, label: Statement, locus: Locus, seen: Iterable[Locus], single: bool) -> evidence.Odds:
        """Likelihood of a look read at some recorded loci, by the genotypes of the locus that they make up."""
        channels = [(r, shown_at(label, r), evidence.misread_at(r, self._settings.misread)) for r in seen]
        return {
            g: sum(
                share * prod(self._at(r, written, look, misread, single) for r, written, misread in channels)
                for look, share in evidence.looks_at(locus, g)
            )
            for g in evidence.viable_genotypes(locus, single=single)
        }

    def _at(
        self, recorded: Locus, written: Appearance, look: Appearance, misread: float, single: bool
    ) -> float:
        """Chance that a look, of which one recorded locus has its share, is written so there."""
        names = {name for gene in recorded.genes for name in (gene.name, gene.super_name)}
        own = tuple(name for name in look if name in names)
        words = self._wording.words(own, classes_of(recorded, single))
        return sum(chance * _read(recorded, written, word, misread, single) for word, chance in words)


def restacked(wording: Wording, after: Catalogue, settings: Settings) -> tuple[Stack, ...]:
    """The linkage groups by shape of the catalogue to which the wording leads; of the recorded one as the carriers have them."""
    shapes = stacks(after, settings)
    return shapes if wording.same else tuple(Reread(own.spaces, settings, wording) for own in shapes)


def _read(recorded: Locus, written: Appearance, look: Appearance, misread: float, single: bool) -> float:
    """Chance that a look is written so at one recorded locus. A look that the locus hasn't got is one class the more."""
    classes = classes_of(recorded, single)
    if look == written and look not in classes:
        return 1 - misread
    if written not in classes:
        living = classes_of(recorded, False)  # the sex with one copy has no look of its own
        return misread / len(classes if written in living else living)
    if look == written:
        return 1 - misread if len(classes) > 1 else 1.0
    if look in classes:
        return misread / (len(classes) - 1)
    return misread / len(classes)


@lru_cache(maxsize=4096)
def classes_of(locus: Locus, single: bool) -> frozenset[Appearance]:
    """The looks of living animals at a locus. `single`: of the sex with one copy."""
    return frozenset(locus.appearance(g) for g in evidence.viable_genotypes(locus, single=single))
