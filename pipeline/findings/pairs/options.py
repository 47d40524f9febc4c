"""The tables pair_options and pair_outcomes: every pair with its score in words, and the young of the best."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np
import pandas as pd

from pipeline.findings.frames import findings_frame
from pipeline.findings.pairs.cautions import (
    all_cautions,
    harmful,
    loan_caution,
    pair_cautions,
    readiness_caution,
    weight_ratio,
    welfare_words,
)
from pipeline.findings.pairs.kinship import Kinship
from pipeline.findings.pairs.season import Coming
from pipeline.findings.pairs.spaces import Odds
from pipeline.findings.pairs.species_pairs import NOT_READY, TOLD, SpeciesPairs
from pipeline.findings.pairs.words import why
from pipeline.genetics.labels import write_label
from pipeline.store.tables import PAIR_OPTIONS, PAIR_OUTCOMES

RARER = "rarer labels"
LISTED = 500
"""Pairs of a species that are listed: the best, and those planned. The plan chooses among all of them."""


def pair_options(
    pairs: Sequence[SpeciesPairs],
    kinship: Kinship,
    books: Mapping[str, "Cautions"],
    planned: Mapping[str, Sequence[int]],
) -> pd.DataFrame:
    """Findings table pair_options without `book`: species by name, pairs by rank. `books` and `planned` (places) by species."""
    names = [own.species.name for own in pairs]
    asked = zip(pairs, names, strict=True)
    rows = [row for own, name in asked for row in _options(own, kinship, books[name], planned[name])]
    return findings_frame(PAIR_OPTIONS, rows)


def pair_outcomes(pairs: Sequence[SpeciesPairs], told: Mapping[str, list[int]]) -> pd.DataFrame:
    """Findings table pair_outcomes without `book`; `told` are places of pairs by species, in the order to tell them."""
    rows = [row for own in pairs for place in told[own.species.name] for row in _outcomes(own, place)]
    return findings_frame(PAIR_OUTCOMES, rows)


def told_places(pairs: SpeciesPairs, more: Sequence[int]) -> list[int]:
    """The pairs whose young are told: the best TOLD by score, then `more`."""
    ready = [place for place in pairs.order.tolist() if pairs.limit[place] != NOT_READY]
    return list(dict.fromkeys([*ready[:TOLD], *more]))


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

    def welfare(self, names: frozenset[str]) -> str:
        """Their notes."""
        if names not in self._welfare:
            self._welfare[names] = welfare_words(names, self._catalogue)
        return self._welfare[names]


def _options(
    pairs: SpeciesPairs, kinship: Kinship, book: "Cautions", planned: Sequence[int]
) -> Iterator[dict[str, Any]]:
    goals = pairs.species.goals
    currency = pairs.species.prices.currency
    known_size = pairs.species.size_known
    for rank, place in _listed(pairs, planned):
        dam, sire = pairs.pair(place)
        points, found = pairs.score, pairs.expected
        goal = goals[points.goal[place]] if points.goal[place] >= 0 else None
        chances = found.chances[goal.name] if goal else None
        yield {
            "rank": rank, "species": pairs.species.name, "dam": dam.animal.id, "sire": sire.animal.id,
            "score": points.total[place], "goal_points": points.goals[place], "value_points": points.value[place],
            "information_points": points.information[place], "kin_points": points.kin[place],
            "lost_points": points.lost[place], "why": why(pairs, place), "ready": _ready(pairs, place),
            "p_ready": pairs.ready[place], "f_young": pairs.f[place],
            "common_ancestors": kinship.through(dam.animal.id, sire.animal.id) if pairs.f[place] > 0 else None,
            "goal": goal.name if goal else None,
            "goal_probability": chances.one[place] if chances else None,
            "goal_by_litter": chances.litter[place] if chances and known_size else None,
            "nearer_probability": chances.nearer[place] if chances else None,
            "young": pairs.species.young if known_size else None,
            "expected_value": found.values.value[place], "value_low": found.values.low[place],
            "value_high": found.values.high[place], "currency": currency, "priced": found.values.priced[place],
            "information_bits": found.bits[place].sum(), "information_on": most_told(pairs, place),
            "lost": found.outcomes.lost[place], "weight_ratio": weight_ratio(dam, sire),
            "limit": pairs.limit[place], "basis": "together" if pairs.joint[place] else "apart",
            "cautions": cautions_of(pairs, place, book),
        }  # fmt: skip


def offered(pairs: SpeciesPairs) -> int:
    """How many pairs of the species could be: both likely ready, or fixed by the keeper."""
    return int((pairs.limit != NOT_READY).sum()) + sum(
        pairs.limit[place] == NOT_READY for place in pairs.fixed
    )


def _listed(pairs: SpeciesPairs, planned: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Rank and place of the pairs to list."""
    known, rank = set(planned), 0
    for place in pairs.order.tolist():
        if pairs.limit[place] != NOT_READY or place in pairs.fixed:
            rank += 1
            if rank <= LISTED or place in known:
                yield rank, place


def most_told(pairs: SpeciesPairs, place: int) -> str | None:
    """The linkage group of which a litter would tell most, where that is a tenth of a bit or more."""
    bits = pairs.expected.bits[place]
    return pairs.species.groups.spaces[int(bits.argmax())].group.name if bits.max(initial=0) >= 0.1 else None


def _ready(pairs: SpeciesPairs, place: int) -> int | None:
    days = [candidate.ready_on for candidate in pairs.pair(place)]
    return None if None in days else max(days).toordinal()


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
