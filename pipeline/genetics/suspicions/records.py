"""How likely each label and each reading of one family is wrong, in one structure.

A label is wrong of a gene where the animal does not carry what it says for certain, or, of an animal without recorded
parents, carries what it leaves out. A reading (a hatch row, or the look of an animal with recorded parents) is wrong where
the look is not that of the true class. Possible hets claim nothing that could be wrong.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache, partial

import numpy as np

from pipeline.genetics.carriers.ancestors import states_from_ancestors
from pipeline.genetics.carriers.evidence import misread_at, readable
from pipeline.genetics.carriers.families import Family
from pipeline.genetics.carriers.posterior import Posterior
from pipeline.genetics.carriers.scores import Scores
from pipeline.genetics.carriers.spaces import Kind, Space
from pipeline.genetics.collection import Animal, Outcome
from pipeline.genetics.crosses import genotype
from pipeline.genetics.genes import Appearance, Gene, Locus
from pipeline.genetics.statements import Statement, shown_at
from pipeline.genetics.suspicions.unsired import PSEUDO


@dataclass(frozen=True)
class LabelKey:
    """A label, as far as it speaks of one gene."""

    animal: str
    gene: str


@dataclass(frozen=True)
class ReadingKey:
    """A look at one locus: of an animal with recorded parents, or of a tally (clutch by position, tally by position)."""

    animal: str | None
    clutch: int
    tally: int
    locus: str


Key = LabelKey | ReadingKey
AS_WRITTEN = ", as written"
"""Ends the words of an explanation under which a label is right."""


@dataclass(frozen=True)
class Doubt:
    """How likely a record is wrong. `prior` before any young; `rivals`: what it would be instead, with probabilities.

    `expected` is the number of young of a tally that are expected to be misread, `misread` the rate before any is weighed.
    """

    probability: float
    prior: float
    rivals: Mapping[str, float]
    expected: float = 0.0
    misread: float = 0.0


def doubts(family: Family, posterior: Posterior, *, priors: bool, least: float = 0.0) -> dict[Key, Doubt]:
    """Every label and reading of a family at least so likely to be wrong. `priors`: compute those from ancestors too,
    else they are NaN."""
    found: dict[Key, Doubt] = {}
    for i, scores in enumerate(posterior.scores):
        before = cache(partial(states_from_ancestors, scores)) if priors else dict
        for animal in family.animals.values():
            if not animal.id.startswith(PSEUDO):
                after = posterior.states[animal.id][i]
                found |= _labels(scores, animal, after, before, least)
                found.update(_look(scores, animal, after, least))
        if posterior.couples:
            found |= _tallies(scores, posterior.couples[i], least)
    found |= _pseudo(family, posterior)
    return {key: doubt for key, doubt in found.items() if doubt.probability >= least}


# --- labels ---


def _labels(
    scores: Scores,
    animal: Animal,
    after: np.ndarray,
    before: Callable[[], Mapping[str, np.ndarray]],
    least: float,
) -> dict[Key, Doubt]:
    """`before` has the states from ancestors, as far as they are known; asked only for a label in doubt."""
    if animal.label is None:
        return {}
    founder = animal.id not in scores.clutch_of and animal.id not in scores.half_of
    label, kind = scores.stack.meant(animal.label, founder=founder), scores.kind_of(animal.id)
    found: dict[Key, Doubt] = {}
    for g, space in enumerate(scores.stack.spaces):
        for position, locus in enumerate(space.group.loci):
            for allele, gene in enumerate(locus.genes, start=1):
                copies, shows = _copies(space, kind, position, allele)
                wrong = _wrong(label, gene, copies, shows, founder=founder)
                if wrong is not None and _share(after[g], wrong) >= least:
                    prior = before().get(animal.id)
                    own = float("nan") if prior is None else _share(prior[g], wrong)
                    rivals = {
                        _claim(c, gene, copies, wrong): float(after[g][copies == c].sum())
                        for c in range(3)
                        if (copies == c).any()
                    }
                    found[LabelKey(animal.id, gene.name)] = Doubt(_share(after[g], wrong), own, rivals)
    return found


def _wrong(
    label: Statement, gene: Gene, copies: np.ndarray, shows: np.ndarray, *, founder: bool
) -> np.ndarray | None:
    """The states in which a label is wrong of a gene; None where it claims nothing that could be."""
    for shown in label.shows:
        if shown.gene == gene.name:
            stated = (
                shown.copies if shown.copies is not None and shows[copies == shown.copies].any() else None
            )
            if founder:
                return ~shows if stated is None else (copies != stated) | ~shows
            return copies != stated if stated and gene.inheritance == "dominant" else None
    for claim in label.carries:
        if claim.gene == gene.name:
            return copies == 0 if claim.probability == 1 else None
    if gene.name in label.lacks or founder:
        return copies > 0
    return None


def _claim(number: int, gene: Gene, copies: np.ndarray, wrong: np.ndarray) -> str:
    """'one copy of Albino', and whether the label means just that."""
    words = f"{('no copy', 'one copy', 'two copies')[number]} of {gene.name}"
    return words if wrong[copies == number].all() else f"{words}{AS_WRITTEN}"


def _share(states: np.ndarray, mask: np.ndarray) -> float:
    total = states.sum()
    return float(states[mask].sum() / total) if total else 0.0


# --- readings ---


def _look(
    scores: Scores, animal: Animal, after: np.ndarray, least: float
) -> Iterator[tuple[ReadingKey, Doubt]]:
    """The look of an animal with recorded parents."""
    if animal.id not in scores.clutch_of and animal.id not in scores.half_of:
        return
    look = scores.family.looks.get(animal.id)
    label = animal.label
    unreadable: frozenset[str] | None = None  # of a grown animal everything can be told
    if label is None and look is not None:
        label, unreadable = look.label, look.unreadable
    if label is None:
        return
    label, kind = scores.stack.meant(label), scores.kind_of(animal.id)
    for g, space in enumerate(scores.stack.spaces):
        for position, locus in enumerate(space.group.loci):
            if unreadable is not None and not readable(locus, unreadable):
                continue
            looks, place = _looks(space, kind, position)
            wrong = _misfits(locus, label, looks, place)
            chance = 0.0 if wrong is None else _share(after[g], wrong)
            if wrong is not None and chance >= least:
                rivals = _rival_looks(locus, looks, place, after[g], label)
                key = ReadingKey(animal.id, -1, -1, locus.name)
                yield key, Doubt(chance, misread_at(locus, scores.settings.misread), rivals, chance)


def _tallies(scores: Scores, couples: np.ndarray, least: float) -> dict[Key, Doubt]:
    """Rows of young alike; those that are written alike side by side."""
    alike: dict[tuple, list[tuple[int, int, int]]] = {}
    for k, clutch in enumerate(scores.family.clutches):
        for j, young in enumerate(clutch.tallies):
            if young.label is not None and young.outcome is not Outcome.SLUG:
                look = (scores.stack.kind(young.sex), young.label, young.unreadable)
                alike.setdefault(look, []).append((k, j, young.count))
    found: dict[Key, Doubt] = {}
    for look, rows in alike.items():
        found |= _written_alike(scores, look, rows, scores.stack.trio(look[0]), couples, least)
    return found


def _written_alike(
    scores: Scores,
    look: tuple[Kind, Statement, frozenset[str]],
    rows: Sequence[tuple[int, int, int]],
    born: np.ndarray,
    couples: np.ndarray,
    least: float,
) -> dict[Key, Doubt]:
    """Rows (clutch, tally, count) of one look. `born`: P(young | parents), groups x dam x sire x young; `couples`: groups x
    clutches x dam x sire."""
    kind, written, unreadable = look
    label = scores.stack.meant(written)
    found: dict[Key, Doubt] = {}
    for g, space in enumerate(scores.stack.spaces):
        each = born[g] * scores.stack.reading(written, kind, unreadable)[g]
        for position, locus in enumerate(space.group.loci):
            if readable(locus, unreadable):
                looks, place = _looks(space, kind, position)
                wrong = _misfits(locus, label, looks, place)
                if wrong is not None:
                    misread = misread_at(locus, scores.settings.misread)
                    told = _Alike(locus, label, looks, place, wrong, misread)
                    found |= told.doubts(rows, couples[g], each, least)
    return found


@dataclass(frozen=True)
class _Alike:
    """Rows written alike, at one locus: given its parents every young of a row is misread or not by itself."""

    locus: Locus
    label: Statement
    looks: tuple[Appearance, ...]
    place: np.ndarray
    wrong: np.ndarray
    misread: float

    def doubts(
        self, rows: Sequence[tuple[int, int, int]], couples: np.ndarray, each: np.ndarray, least: float
    ) -> Iterator[tuple[Key, Doubt]]:
        """Rows (clutch, tally, count) at least so likely to hold one misread. `couples`: clutches x dam x sire; `each`:
        dam x sire x young, how likely a young of that state reads so."""
        clutches, _, counts = np.array(rows, dtype=np.intp).T
        total = each.sum(axis=2)
        right = np.divide(
            each[:, :, ~self.wrong].sum(axis=2), total, out=np.ones_like(total), where=total > 0
        )
        parents = couples[clutches]
        some = (parents * (1 - right ** counts[:, None, None])).sum(axis=(1, 2))
        kept = np.flatnonzero(some >= least)
        one = (parents[kept] * (1 - right)).sum(axis=(1, 2))
        given = np.divide(each, total[:, :, None], out=np.zeros_like(each), where=total[:, :, None] > 0)
        states = np.einsum("nds,dsy->ny", parents[kept], given)
        for row, chance, own in zip(kept.tolist(), one, states, strict=True):
            k, j, count = rows[row]
            yield (
                ReadingKey(None, k, j, self.locus.name),
                Doubt(
                    float(some[row]),
                    1 - (1 - self.misread) ** count,
                    _rival_looks(self.locus, self.looks, self.place, own, self.label),
                    count * float(chance),
                    self.misread,
                ),
            )


def _pseudo(family: Family, posterior: Posterior) -> dict[Key, Doubt]:
    """Tallies of a clutch without a sire: given their dam, their young are misread or not by themselves."""
    counts = Counter(name.rpartition("/")[0] for name in family.animals if name.startswith(PSEUDO))
    found: dict[Key, Doubt] = {}
    for name, count in counts.items():
        k, j = map(int, name.split("/")[1:])
        young = family.looks[f"{name}/0"]
        for scores, states in zip(posterior.scores, posterior.states[family.clutches[k].dam], strict=True):
            look = (scores.kind_of(f"{name}/0"), young.known_label, young.unreadable)
            born = scores.stack.from_none(look[0])[:, :, None]
            couples = np.broadcast_to(states[:, None, :, None], (len(states), k + 1, states.shape[1], 1))
            found |= _written_alike(scores, look, [(k, j, count)], born, couples, 0.0)
    return found


def _misfits(
    locus: Locus, label: Statement, looks: tuple[Appearance, ...], place: np.ndarray
) -> np.ndarray | None:
    """The states whose look is not the one written; None where no state has it, so that it tells nothing.

    What does not show for want of penetrance is not misread.
    """
    written = shown_at(label, locus)
    if written not in looks:
        return None
    weak = {name for gene in locus.genes if gene.penetrance < 1 for name in (gene.name, gene.super_name)}
    fits = [look == written or tuple(n for n in look if n not in weak) == written for look in looks]
    return ~np.array(fits, dtype=bool)[place]


def _rival_looks(
    locus: Locus, looks: tuple[Appearance, ...], place: np.ndarray, states: np.ndarray, label: Statement
) -> dict[str, float]:
    shares = np.bincount(place, states, minlength=len(looks))
    written = shown_at(label, locus)
    return {
        ", ".join(look) or f"not {' or '.join(g.name for g in locus.genes)}": float(share)
        for look, share in zip(looks, shares, strict=True)
        if look != written
    }


@lru_cache(maxsize=8192)
def _copies(space: Space, kind: Kind, position: int, allele: int) -> tuple[np.ndarray, np.ndarray]:
    return space.copies(kind, position, allele), space.shows(kind, position, allele)


@lru_cache(maxsize=8192)
def _looks(space: Space, kind: Kind, position: int) -> tuple[tuple[Appearance, ...], np.ndarray]:
    """The looks at a locus, and which of them each state has."""
    locus = space.group.loci[position]
    own = [locus.appearance(genotype(state, position)) for state in space.states[kind]]
    looks = tuple(dict.fromkeys(own))
    return looks, np.array([looks.index(look) for look in own], dtype=np.intp)
