"""The tables pair_options and pair_outcomes: every pair with its score in words, and the young of the best."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np
import pandas as pd

from pipeline.findings.frames import findings_frame
from pipeline.findings.pairs.cautions import (
    LOST,
    WEIGHT_RATIO,
    all_cautions,
    harmful,
    loan_caution,
    pair_cautions,
    readiness_caution,
    welfare_words,
)
from pipeline.findings.pairs.kinship import Kinship
from pipeline.findings.pairs.season import Coming
from pipeline.findings.pairs.spaces import Odds
from pipeline.findings.pairs.species_pairs import NOT_READY, TOLD, SpeciesPairs
from pipeline.findings.pairs.words import whys
from pipeline.genetics.labels import write_label
from pipeline.store.tables import PAIR_OPTIONS, PAIR_OUTCOMES

RARER = "rarer labels"
LISTED = 10_000
"""Pairs of a species that are listed: all up to so many, of more the best and those planned. A hundred of each sex, a plan
for which is made by hand no more."""
LISTED_OF_EACH = 500
"""The same of each of several books answered together: a club's thousand keepers would have millions of pairs."""


def pair_options(
    pairs: Sequence[SpeciesPairs],
    kinship: Kinship,
    books: Mapping[str, "Cautions"],
    planned: Mapping[str, Sequence[int]],
    most: int = LISTED,
) -> pd.DataFrame:
    """Findings table pair_options without `book`: species by name, pairs by rank. `books` and `planned` (places) by species.

    Every pair that could be, both likely ready or fixed by the keeper; beyond `most` the best and those planned.
    """
    names = [own.species.name for own in pairs]
    parts = [
        _options(own, kinship, books[name], planned[name], most)
        for own, name in zip(pairs, names, strict=True)
    ]
    return pd.concat(parts, ignore_index=True) if parts else findings_frame(PAIR_OPTIONS, [])


def pair_outcomes(pairs: Sequence[SpeciesPairs], told: Mapping[str, list[int]]) -> pd.DataFrame:
    """Findings table pair_outcomes without `book`; `told` are places of pairs by species, in the order to tell them."""
    rows = [row for own in pairs for place in told[own.species.name] for row in _outcomes(own, place)]
    return findings_frame(PAIR_OUTCOMES, rows)


def told_places(pairs: SpeciesPairs, more: Sequence[int]) -> list[int]:
    """The pairs whose young are told: the best TOLD by score, then `more`."""
    ready = pairs.order[pairs.limit[pairs.order] != NOT_READY]
    return list(dict.fromkeys([*ready[:TOLD].tolist(), *more]))


def cautions_of(pairs: SpeciesPairs, place: int, book: "Cautions") -> str | None:
    """What to mind of one pair."""
    dam, sire = pairs.pair(place)
    names = book.harmful(dam.animal.id) | book.harmful(sire.animal.id)
    said = pair_cautions(
        dam, sire,
        f=float(pairs.f[place]),
        limit=pairs.species.settings.inbreeding_at_most,
        lost=float(pairs.expected.outcomes.lost[place]),
        harm=book.welfare(names),
    )  # fmt: skip
    return all_cautions([*said, *(book.said[c.animal.id] for c in (dam, sire))])


class Cautions:
    """What to mind of each animal of one species, asked once."""

    def __init__(self, pairs: SpeciesPairs, odds: Mapping[str, Odds], when: Coming) -> None:
        groups = pairs.species.groups
        self._catalogue = groups.catalogue
        both = (*pairs.dams, *pairs.sires)
        self._harmful = {
            c.animal.id: harmful(groups.catalogue, groups.spaces, odds[c.animal.id], c.animal) for c in both
        }
        self.said = {
            c.animal.id: " ".join(filter(None, (readiness_caution(c, when), loan_caution(c.animal))))
            for c in both
        }
        self._welfare: dict[frozenset[str], str] = {}

    def harmful(self, animal: str) -> frozenset[str]:
        """Genes with a welfare note that it may pass on."""
        return self._harmful[animal]

    def of_two(self, dam: str, sire: str) -> str | None:
        """What to mind of a pair of which each alone is the matter, not that they are put together."""
        harm = self.welfare(self._harmful[dam] | self._harmful[sire])
        return all_cautions([harm, self.said[dam], self.said[sire]])

    def welfare(self, names: frozenset[str]) -> str:
        """Their notes."""
        if names not in self._welfare:
            self._welfare[names] = welfare_words(names, self._catalogue)
        return self._welfare[names]


def _options(
    pairs: SpeciesPairs, kinship: Kinship, book: "Cautions", planned: Sequence[int], most: int
) -> pd.DataFrame:
    places = offered(pairs)
    rank = np.arange(len(places)) + 1
    listed = (rank <= most) | np.isin(places, list(planned))
    places, rank = places[listed], rank[listed]
    dams, sires = _names(pairs, places)
    size = pairs.species.young if pairs.species.size_known else None
    points, found, values = pairs.score, pairs.expected, pairs.expected.values
    columns = {
        "rank": rank, "species": pairs.species.name,
        "dam": dams, "sire": sires,
        "score": points.total[places], "goal_points": points.goals[places], "value_points": points.value[places],
        "information_points": points.information[places], "kin_points": points.kin[places],
        "lost_points": points.lost[places], "why": whys(pairs, places),
        "ready": _ready(pairs, places), "p_ready": pairs.ready[places], "f_young": pairs.f[places],
        "common_ancestors": [
            kinship.through(dam, sire) if f > 0 else None
            for dam, sire, f in zip(dams, sires, pairs.f[places].tolist(), strict=True)
        ],
        **_goal_columns(pairs, places), "young": size,
        "expected_value": values.value[places], "value_low": values.low[places], "value_high": values.high[places],
        "currency": pairs.species.prices.currency, "priced": values.priced[places],
        "information_bits": found.bits[places].sum(axis=1), "information_on": _most_told(pairs, places),
        "lost": found.outcomes.lost[places], "weight_ratio": _weight_ratios(pairs, places),
        "limit": pairs.limit[places], "basis": np.where(pairs.joint[places], "together", "apart"),
        "cautions": _cautions(pairs, places, book),
    }  # fmt: skip
    return findings_frame(PAIR_OPTIONS, columns)


def offered(pairs: SpeciesPairs) -> np.ndarray:
    """The places of the pairs that could be, by rank: both likely ready, or fixed by the keeper."""
    could = pairs.limit != NOT_READY
    could[list(pairs.fixed)] = True
    return pairs.order[could[pairs.order]]


def _names(pairs: SpeciesPairs, places: np.ndarray) -> tuple[list[str], list[str]]:
    """The IDs of the dams and of the sires."""
    dams, sires = (np.array([c.animal.id for c in side], dtype=object) for side in (pairs.dams, pairs.sires))
    return dams[pairs.dam[places]].tolist(), sires[pairs.sire[places]].tolist()


def _cautions(pairs: SpeciesPairs, places: np.ndarray, book: "Cautions") -> list[str | None]:
    """What to mind of each pair. What the two are by themselves is said of most; the others are looked at one by one."""
    f, lost = pairs.f[places], pairs.expected.outcomes.lost[places]
    heavy = _weight_ratios(pairs, places) > WEIGHT_RATIO
    own = (f > pairs.species.settings.inbreeding_at_most) | (lost > LOST) | heavy
    dams, sires = _names(pairs, places)
    return [
        cautions_of(pairs, place, book) if alone else book.of_two(dam, sire)
        for place, alone, dam, sire in zip(places.tolist(), own.tolist(), dams, sires, strict=True)
    ]


def _goal_columns(pairs: SpeciesPairs, places: np.ndarray) -> dict[str, Any]:
    """Of the goal that each pair serves best: its name and chances; empty where it serves none."""
    goals = pairs.species.goals
    best = pairs.score.goal[places]
    of = np.arange(len(places)), best
    found = {}
    for name, kind in (
        ("goal_probability", "one"),
        ("goal_by_litter", "litter"),
        ("nearer_probability", "nearer"),
    ):
        told = [getattr(pairs.expected.chances[goal.name], kind)[places] for goal in goals]
        chance = np.stack(told, axis=1)[of] if goals else np.zeros(len(places))
        shown = (best >= 0) & (pairs.species.size_known or kind != "litter")
        found[name] = np.where(shown, chance, np.nan)
    return {"goal": [goals[at].name if at >= 0 else None for at in best.tolist()], **found}


def _most_told(pairs: SpeciesPairs, places: np.ndarray) -> list[str | None]:
    """The linkage group of which each litter would tell most, where that is a tenth of a bit or more."""
    bits = pairs.expected.bits[places]
    names = [space.group.name for space in pairs.species.groups.spaces]
    if not names:
        return [None] * len(places)
    most = bits.argmax(axis=1).tolist()
    return [names[at] if row[at] >= 0.1 else None for at, row in zip(most, bits, strict=True)]


def _ready(pairs: SpeciesPairs, places: np.ndarray) -> np.ndarray:
    """The ordinal day from which both are ready; NaN where that can't be told."""
    dams, sires = (
        np.array([c.ready_on.toordinal() if c.ready_on else np.nan for c in side])
        for side in (pairs.dams, pairs.sires)
    )
    return np.maximum(dams[pairs.dam[places]], sires[pairs.sire[places]])


def _weight_ratios(pairs: SpeciesPairs, places: np.ndarray) -> np.ndarray:
    dams, sires = (np.array([c.grams for c in side], dtype=float) for side in (pairs.dams, pairs.sires))
    dam, sire = dams[pairs.dam[places]], sires[pairs.sire[places]]
    low = np.minimum(dam, sire)
    return np.divide(np.maximum(dam, sire), low, out=np.full(len(places), np.nan), where=low > 0)


def _outcomes(pairs: SpeciesPairs, place: int) -> Iterator[dict[str, Any]]:
    found, groups = pairs.expected.outcomes, pairs.species.groups
    dam, sire = pairs.ids(place)
    first, last = np.searchsorted(found.pair, [place, place + 1])
    start = {"species": pairs.species.name, "dam": dam, "sire": sire}
    for entry in range(first, last):
        label = found.labels[found.label[entry]]
        worth = pairs.species.prices.worth(label)
        yield start | {
            "sex": groups.sexes[found.sex[entry]], "label": write_label(label, groups.catalogue),
            "probability": found.probability[entry], "price": worth.price, "price_low": worth.low,
            "price_high": worth.high,
        }  # fmt: skip
    rest = 1 - found.probability[first:last].sum()
    if rest > 1e-9:
        yield start | {"label": RARER, "probability": rest}
