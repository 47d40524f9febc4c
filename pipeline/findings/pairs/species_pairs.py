"""The pairs of one species, scored: every female with every male that are likely ready, kin among the best looked at twice."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import permutations

import numpy as np

from pipeline.findings.pairs.breeding import Breeding
from pipeline.findings.pairs.expected import Expected, Species, expected, grid, together, with_part
from pipeline.findings.pairs.kin_couples import joint_odds
from pipeline.findings.pairs.scoring import Score, score
from pipeline.findings.pairs.season import Candidate
from pipeline.findings.pairs.ways import Ways
from pipeline.findings.pairs.wishes import Wishes

TOLD = 40
"""Pairs of a species whose young are told label by label: the best by score, besides those planned or fixed."""
TOGETHER = 8
"""Kin among the best whose genes are weighed together: each asks for the whole family's odds anew."""
RULED_OUT, INBREEDING, NOT_READY, FREE = "ruled out", "inbreeding", "not ready", "nothing"


@dataclass(frozen=True)
class SpeciesPairs:
    """Pairs of one species by place: `dam[i]` with `sire[i]`. `limit` is why a pair can't be planned, `fixed` the pairing of those
    that the keeper has decided on, by place, `joint` whether its parents' genes were weighed together. `order` ranks them by score.
    `ways` are the steps of ways to goals that pairs begin with, `on_way` (goals x pairs) the chance of the young they want."""

    species: Species
    dams: tuple[Candidate, ...]
    sires: tuple[Candidate, ...]
    dam: np.ndarray
    sire: np.ndarray
    f: np.ndarray
    ready: np.ndarray
    limit: np.ndarray
    fixed: Mapping[int, str]
    joint: np.ndarray
    expected: Expected
    score: Score
    ways: Ways
    on_way: np.ndarray

    @property
    def size(self) -> int:
        """How many pairs there are, those that cannot be planned among them."""
        return len(self.dam)

    def pair(self, place: int) -> tuple[Candidate, Candidate]:
        """The dam and the sire."""
        return self.dams[self.dam[place]], self.sires[self.sire[place]]

    def ids(self, place: int) -> tuple[str, str]:
        """Their IDs."""
        dam, sire = self.pair(place)
        return dam.animal.id, sire.animal.id

    @cached_property
    def order(self) -> np.ndarray:
        """Places by falling score; those that can't be planned after the others, equals by ID."""
        return np.lexsort((np.arange(self.size), -np.round(self.score.total, 9), self.limit != FREE))


def species_pairs(
    species: Species,
    dams: Sequence[Candidate],
    sires: Sequence[Candidate],
    breeding: Breeding,
    *,
    wishes: Wishes,
    ways: Ways,
) -> SpeciesPairs:
    """Every dam with every sire, dam by dam; there must be one of each at least. Those not able are there for a fixed pair."""
    names = [c.animal.id for c in dams], [c.animal.id for c in sires]
    dam, sire = (axis.ravel() for axis in np.indices((len(dams), len(sires))))
    f = breeding.kinship.of_young(*names)
    ready = np.array([c.likely for c in dams])[dam] * np.array([c.likely for c in sires])[sire]
    first = expected(species, grid(species, *names, breeding.odds))
    place = _Places(*names)
    able = np.array([c.able for c in dams])[dam] & np.array([c.able for c in sires])[sire]
    limit = np.where(f > breeding.collection.settings.inbreeding_at_most + 1e-12, INBREEDING, FREE)
    limit = np.where(able, limit, NOT_READY).astype(object)
    never = [place[pair] for both in wishes.never for pair in permutations(both, 2) if pair in place]
    limit[never] = RULED_OUT
    fixed = {place[pair]: pairing for pair, pairing in wishes.fixed.items() if pair in place}
    none = np.zeros(len(dam), dtype=bool)
    begun = {pair: steps for pair, steps in ways.items() if pair in place}
    on_way = _on_way(species, begun, place, len(dam))
    made = _score(species, first, f, ready, on_way)
    found = SpeciesPairs(
        species,
        tuple(dams),
        tuple(sires),
        dam,
        sire,
        f,
        ready,
        limit,
        fixed,
        none,
        first,
        made,
        begun,
        on_way,
    )
    return _kin_together(found, breeding)


class _Places:
    """The place of a (dam, sire) when every dam stands with every sire, dam by dam."""

    def __init__(self, dams: Sequence[str], sires: Sequence[str]) -> None:
        self._dam, self._sire = ({name: i for i, name in enumerate(side)} for side in (dams, sires))

    def __contains__(self, pair: tuple[str, str]) -> bool:
        return pair[0] in self._dam and pair[1] in self._sire

    def __getitem__(self, pair: tuple[str, str]) -> int:
        return self._dam[pair[0]] * len(self._sire) + self._sire[pair[1]]


def _on_way(species: Species, ways: Ways, place: _Places, pairs: int) -> np.ndarray:
    """By goal and pair, the chance that a litter has the young that the way to the goal wants; the best of several steps."""
    found = np.zeros((len(species.goals), pairs))
    rows = {goal.name: row for row, goal in enumerate(species.goals)}
    for pair, steps in ways.items():
        for begun in steps:
            at = rows[begun.goal], place[pair]
            found[at] = max(found[at], begun.chance)
    return found


def _score(species: Species, found: Expected, f: np.ndarray, ready: np.ndarray, on_way: np.ndarray) -> Score:
    value = found.values.value
    known = value[~np.isnan(value)]
    return score(
        species.goals,
        found.chances,
        value=value,
        best_value=float(known.max()) if len(known) else 0.0,
        bits=found.bits.sum(axis=1),
        ready=ready,
        f=f,
        lost=found.outcomes.lost,
        on_way=on_way,
    )


def _kin_together(found: SpeciesPairs, breeding: Breeding) -> SpeciesPairs:
    """The best kin pairs with their parents' genes weighed together, and the score with them."""
    best = [
        place for place in found.order[:TOLD].tolist() if found.f[place] > 0 and found.limit[place] == FREE
    ]
    best = best[:TOGETHER]
    joint = joint_odds(breeding.carriers, breeding.collection, [found.ids(place) for place in best])
    places = [place for place in best if found.ids(place) in joint]
    if not places:
        return found
    part = expected(found.species, together([joint[found.ids(place)] for place in places]))
    whole = with_part(found.expected, part, places)
    weighed = found.joint.copy()
    weighed[places] = True
    return replace(
        found,
        joint=weighed,
        expected=whole,
        score=_score(found.species, whole, found.f, found.ready, found.on_way),
    )
