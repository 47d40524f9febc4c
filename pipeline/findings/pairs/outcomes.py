"""The young of many pairs at once, by the label that may honestly be written on them.

One young of a pair: what it has of each linkage group is the mean of Mendel's rules over the couples of genotypes that its
parents may be (couples.py), which is exact for one young; littermates share their parents (chances.py). Two lethal
copies drop out, couple by couple, and the rest is rescaled.
"""

from dataclasses import dataclass

import numpy as np

from pipeline.findings.pairs.couples import Couples
from pipeline.findings.pairs.mixtures import closed_up
from pipeline.findings.pairs.spaces import Groups
from pipeline.genetics.label_claims import canonical
from pipeline.genetics.statements import Statement

LEAST = 0.002
"""Labels of which fewer than two young in a thousand are expected stand together as the rest."""


@dataclass(frozen=True)
class Outcomes:
    """Labels of the young of pairs, one entry for each pair, sex and label of LEAST or more.

    `pair` is the pair's place, `label` that in `labels`, `sex` that in `Groups.sexes`; probabilities of a pair sum to 1
    less its rare labels. `looks` (entries x linkage groups) are the looks that make the label, as `Groups.looks` numbers
    them. `lost` (pairs) is the share of zygotes that die of lethal genes.
    """

    labels: tuple[Statement, ...]
    pair: np.ndarray
    sex: np.ndarray
    label: np.ndarray
    probability: np.ndarray
    looks: np.ndarray
    lost: np.ndarray


def outcomes(groups: Groups, couples: Couples) -> Outcomes:
    """The young of each pair."""
    book = _Labels(groups)
    start = _sexes(groups, couples)
    parts = [_expanded(groups, couples, place, start, book) for place in range(len(groups.sexes))]
    pair, sex, label, probability, looks = (np.concatenate(column) for column in zip(*parts, strict=True))
    order = np.lexsort((label, sex, -probability, pair))
    return Outcomes(
        tuple(book.statements),
        pair[order],
        sex[order],
        label[order],
        probability[order],
        looks[order],
        1 - _survival(groups, couples).mean(axis=1),
    )


def _survival(groups: Groups, couples: Couples) -> np.ndarray:
    """Pairs x sexes: the share of zygotes of that sex that live."""
    alive = np.ones((couples.size, len(groups.sexes)))
    for (g, sex), dead in groups.dead.items():
        alive[:, groups.sexes.index(sex)] *= 1 - couples.weigh(g, dead[:, :, None])[:, 0]
    return alive


def _sexes(groups: Groups, couples: Couples) -> np.ndarray:
    """Pairs x sexes: an even share, or what keeps the sum at 1 where several groups' lethal genes shift the sexes at once."""
    start = np.full((couples.size, len(groups.sexes)), 1 / len(groups.sexes))
    shifting = [g for g, space in enumerate(groups.spaces) if space.sexes("F") is not None]
    if len(shifting) < 2:
        return start
    shifted = start.copy()
    for place, sex in enumerate(groups.sexes):
        for g in shifting:
            young = groups.spaces[g].young(sex).sum(axis=2, keepdims=True)
            shifted[:, place] *= couples.weigh(g, young)[:, 0]
    whole = shifted.sum(axis=1, keepdims=True)
    return np.divide(start, whole, out=np.zeros_like(start), where=whole > 0)


class _Labels:
    """Labels met so far, each with one number."""

    def __init__(self, groups: Groups) -> None:
        self._catalogue = groups.catalogue
        self._places: dict[Statement, int] = {}
        self.statements: list[Statement] = []

    def number(self, statement: Statement) -> int:
        """The place in `statements` of what says the same, from 0; new words join at the end."""
        statement = canonical(statement, self._catalogue)
        if statement not in self._places:
            self._places[statement] = len(self.statements)
            self.statements.append(statement)
        return self._places[statement]


def _expanded(
    groups: Groups, couples: Couples, place: int, start: np.ndarray, book: _Labels
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Labels of one sex, multiplied out group by group; what falls below LEAST can only get rarer and is dropped."""
    sex = groups.sexes[place]
    pair, probability = np.arange(couples.size), start[:, place]
    label, statements = np.zeros(couples.size, dtype=np.int64), [Statement()]
    made = np.zeros((couples.size, 0), dtype=np.int16)
    for g, space in enumerate(groups.spaces):
        looks = groups.looks(g, sex)
        shares = couples.weigh(g, space.young(sex) @ looks.columns)
        used, words = closed_up(looks.words(shares))
        chances = probability[:, None] * shares[pair, : len(looks.looks)]
        entry, look = np.nonzero(chances >= LEAST * (1 - 1e-9))
        both, label = closed_up(label[entry] * len(used) + words[pair[entry], look])
        said = [looks.said(number) for number in used.tolist()]
        statements = [_added(statements[code // len(used)], said[code % len(used)]) for code in both.tolist()]
        pair, probability = pair[entry], chances[entry, look]
        made = np.column_stack([made[entry], look.astype(np.int16)])
    numbers = np.array([book.number(statement) for statement in statements], dtype=np.int64)
    return pair, np.full(len(pair), place), numbers[label], probability, made


def _added(before: Statement, own: Statement) -> Statement:
    return Statement(before.shows + own.shows, before.carries + own.carries)
