"""The young of many pairs at once, by the label that may honestly be written on them.

One young of a pair: each parent's gametes are those of its odds, genotype by genotype, and lethal pairs drop out. The
two parents' odds are taken as independent, group by group. Of parents from different families they are, so for one
young that is exact; what is lost is that littermates share their parents (see chances.py for litters) and, in one
family, that kin are alike beyond what each's own odds say: two full siblings of a possible het are more often both hets than
their odds multiplied. The pairs told of in full are therefore worked out again with the parents' joint odds where
they are of one family (kin_young.py).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pipeline.findings.pairs.looks import GroupLooks
from pipeline.findings.pairs.spaces import Groups, Side
from pipeline.genetics.genes import Sex
from pipeline.genetics.label_claims import canonical
from pipeline.genetics.statements import Statement

LEAST = 0.002
"""Labels of which fewer than two young in a thousand are expected stand together as the rest."""


@dataclass(frozen=True)
class Outcomes:
    """Labels of the young of pairs, one entry for each pair, sex and label of LEAST or more.

    `pair` is the pair's place, `label` that in `labels`, `sex` that in `Groups.sexes`; probabilities of a pair sum to 1
    less its rare labels. `lost` (pairs) is the share of zygotes that die of lethal genes.
    """

    labels: tuple[Statement, ...]
    pair: np.ndarray
    sex: np.ndarray
    label: np.ndarray
    probability: np.ndarray
    lost: np.ndarray


def young_states(groups: Groups, dams: Side, sires: Side, sex: Sex | None) -> list[np.ndarray]:
    """By group, pairs x states: what one young of a sex is. Pairs are every dam with every sire, dam by dam."""
    found = []
    for g, space in enumerate(groups.spaces):
        young = np.einsum("da,sb,aby->dsy", dams.odds[g], sires.odds[g], space.trio(space.kind(sex)), optimize=True)
        found.append(young.reshape(-1, young.shape[-1]))
    return found


def outcomes(groups: Groups, dams: Side, sires: Side) -> Outcomes:
    """The young of every dam with every sire, dam by dam, the parents' odds independent."""
    alive = survival(groups, dams, sires)
    states = [young_states(groups, dams, sires, sex) for sex in groups.sexes]
    return labelled(groups, states, alive)


def survival(groups: Groups, dams: Side, sires: Side) -> np.ndarray:
    """Pairs x sexes: the share of zygotes of that sex that live."""
    alive = np.ones((len(dams.ids), len(sires.ids), len(groups.sexes)))
    for (g, sex), dead in groups.dead.items():
        share = np.einsum("da,sb,ab->ds", dams.odds[g], sires.odds[g], dead, optimize=True)
        alive[..., groups.sexes.index(sex)] *= 1 - share
    return alive.reshape(-1, len(groups.sexes))


def labelled(groups: Groups, states: Sequence[Sequence[np.ndarray]], alive: np.ndarray) -> Outcomes:
    """Outcomes of pairs from what one young of each sex is: `states[sex][group]`, pairs x states."""
    whole = np.maximum(alive.sum(axis=1, keepdims=True), 1e-300)
    book = _Labels(groups)
    parts = [
        _expanded(groups, own, sex, place, alive[:, place] / whole[:, 0], book)
        for place, (sex, own) in enumerate(zip(groups.sexes, states, strict=True))
    ]
    pair, sex, label, probability = (np.concatenate(column) for column in zip(*parts, strict=True))
    order = np.lexsort((label, sex, -probability, pair))
    return Outcomes(
        tuple(book.statements), pair[order], sex[order], label[order], probability[order], 1 - alive.mean(axis=1)
    )


class _Labels:
    """Labels met so far, each with one number."""

    def __init__(self, groups: Groups) -> None:
        self._catalogue = groups.catalogue
        self._places: dict[Statement, int] = {}
        self.statements: list[Statement] = []

    def number(self, statement: Statement) -> int:
        statement = canonical(statement, self._catalogue)
        if statement not in self._places:
            self._places[statement] = len(self.statements)
            self.statements.append(statement)
        return self._places[statement]


def _expanded(
    groups: Groups, states: Sequence[np.ndarray], sex: Sex | None, place: int, share: np.ndarray, book: _Labels
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Labels of one sex, multiplied out group by group; what falls below LEAST can only get rarer and is dropped."""
    pair, probability = np.arange(len(share)), share.astype(float)
    label = np.zeros(len(share), dtype=np.int64)
    statements = [Statement()]
    for space, young in zip(groups.spaces, states, strict=True):
        looks = GroupLooks(space, space.kind(sex))
        shares = young @ looks.columns
        parts = []
        for look in range(len(looks.looks)):
            kept = np.flatnonzero(probability * shares[pair, look] >= LEAST * (1 - 1e-9))
            own = shares[pair[kept]]
            parts.append((kept, np.full(len(kept), look), looks.claims(look, own), probability[kept] * own[:, look]))
        wide = max(claims.shape[1] for _, _, claims, _ in parts)
        padded = [np.pad(claims, ((0, 0), (0, wide - claims.shape[1]))) for _, _, claims, _ in parts]
        kept = np.concatenate([part[0] for part in parts])
        keys = np.column_stack([label[kept], np.concatenate([part[1] for part in parts]), np.concatenate(padded)])
        distinct, label = np.unique(keys, axis=0, return_inverse=True)
        label = label.ravel()
        statements = [_added(statements[key[0]], looks, key[1], key[2:]) for key in distinct.tolist()]
        pair, probability = pair[kept], np.concatenate([part[3] for part in parts])
    numbers = np.array([book.number(statement) for statement in statements], dtype=np.int64)
    return pair, np.full(len(pair), place), numbers[label], probability


def _added(before: Statement, looks: GroupLooks, look: int, claims: Sequence[int]) -> Statement:
    known = looks.looks[look]
    own = looks.statement(look, claims[: len(known.hidden) + len(known.doubled)])
    return Statement(before.shows + own.shows, before.carries + own.carries)
