"""From p-values to verdicts: the number of tests counted in, and how many more young would settle the matter."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from math import ceil, floor, log

import numpy as np
from scipy.special import chdtri, chndtrinc

from pipeline.findings.ratios.answers import Answer, Outlook
from pipeline.findings.ratios.multinomial import Floats, chi_square_tail
from pipeline.findings.ratios.questions import Question, Scope
from pipeline.findings.ratios.testing import Method

POWER = 0.8
SEPARATED = log(20)
"""Likelihood ratio at which of two resolutions the better is taken as settled: 20 to 1, as 95 % asks."""
MOST_YOUNG = 10_000
"""More young than a keeper will ever count: then no number is named."""


class Verdict(StrEnum):
    """What a ratio test comes to."""

    FITS = "fits"
    STRAINED = "strained"
    DEPARTS = "departs"
    IMPOSSIBLE = "impossible"
    TOO_FEW = "too few"


def benjamini_hochberg(p: Sequence[float] | Floats) -> Floats:
    """p-values adjusted for their number: q_(i) = min over j >= i of p_(j) m / j (Benjamini & Hochberg 1995).

    In the order of the p-values given.
    """
    values = np.asarray(p, dtype=float)
    if not values.size:
        return values
    order = np.argsort(values)
    scaled = values[order] * len(values) / np.arange(1, len(values) + 1)
    adjusted = np.empty_like(values)
    adjusted[order] = np.minimum(1.0, np.minimum.accumulate(scaled[::-1])[::-1])
    return adjusted


@dataclass(frozen=True, eq=False)
class Judged:
    """An answer with its verdict. `q` is None where p is; `family` is how many tests the adjustment counts; `more` is
    explained at `young_to_settle`."""

    answer: Answer
    q: float | None
    family: int
    verdict: Verdict
    more: int | None


def judged(answers: Sequence[Answer], level: float) -> list[Judged]:
    """Verdicts on all answers of a collection.

    Adjusted within families: each scope, jointly and gene by gene, is one, since clutches, pairings and genes test the
    same young again and would count them thrice. A gene that alone segregates is the joint question of its pairing and
    shares its verdict.
    """
    families: dict[tuple[Scope, bool], list[Answer]] = defaultdict(list)
    for answer in answers:
        if answer.question.joint or not answer.question.alone:
            families[answer.question.scope, answer.question.joint].append(answer)
    found = {one.answer: one for family in families.values() for one in _family(family, level)}
    joint = {_whose(one.question): found[one] for one in found if one.question.joint}
    return [found.get(one) or replace(joint[_whose(one.question)], answer=one) for one in answers]


def _family(answers: Sequence[Answer], level: float) -> list[Judged]:
    p = {answer: answer.p for answer in answers if answer.p is not None}
    adjusted = dict(zip(p, benjamini_hochberg(list(p.values())).tolist(), strict=True))
    found = []
    for answer in answers:
        q = adjusted.get(answer)
        settled = verdict(answer, 1.0 if q is None else q, level)
        found.append(Judged(answer, q, len(p), settled, young_to_settle(answer, settled, level)))
    return found


def _whose(question: Question) -> tuple[str, int | None]:
    return question.pairing, question.clutch


def verdict(answer: Answer, q: float, level: float) -> Verdict:
    """The verdict on a question; q is its p adjusted for all tests of its family.

    'departs' where q is below the level, 'strained' where only p is. 'too few' where p is not and a resolution that the
    young leave open could not have been rejected by the most extreme of its own outcomes.
    """
    if answer.impossible_young:
        return Verdict.IMPOSSIBLE
    if answer.p is not None and answer.p < level:
        return Verdict.DEPARTS if q < level else Verdict.STRAINED
    smallest = [smallest_p(outlook) for outlook in answer.open if outlook.fit.df]
    return Verdict.TOO_FEW if max(smallest, default=0.0) >= level else Verdict.FITS


def smallest_p(outlook: Outlook) -> float:
    """The p-value of the most extreme outcome there is, by the method in use.

    All young of each block in its rarest class: a multinomial has its least likely outcome, and chi-square its
    largest value, at such a corner.
    """
    rarest = [
        (part.block.n, part.block.ratio)
        for part in outlook.parts
        if part.counts.any() and len(part.block.ratio) > 1
    ]
    if outlook.fit.method is Method.CHI_SQUARE:
        return chi_square_tail(sum(n * (1 / ratio[0] - 1) for n, ratio in rarest), outlook.fit.df)
    smallest = float(np.prod([ratio.count(ratio[0]) * ratio[0] ** n for n, ratio in rarest]))
    return max(smallest, 1 / (outlook.fit.simulations + 1)) if outlook.fit.simulations else smallest


def young_to_settle(answer: Answer, found: Verdict, level: float) -> int | None:
    """How many more young, read at every locus asked about, would settle a question; None where no number would.

    Too few: until the most extreme outcome could reach the level. Labels left open: until the likelihoods of the best
    two readings are expected to part by 20 to 1. Else: until a departure of the size observed would be found with 80 %
    probability. 0 where the matter is settled.
    """
    if found in (Verdict.DEPARTS, Verdict.IMPOSSIBLE):
        return 0
    if found is Verdict.TOO_FEW:
        return _until_testable(answer, level)
    if len(answer.open) > 1 and found is Verdict.FITS:
        return _until_separated(answer)
    return _until_found(answer.best, level)


def _until_testable(answer: Answer, level: float) -> int:
    needed = [
        smallest_testable(part.distribution.probabilities, level)
        for outlook in answer.open
        for part in outlook.parts
        if len(part.distribution.classes) > 1
    ]
    return max(1, max(needed) - answer.question.n)


def smallest_testable(probabilities: Floats, level: float) -> int:
    """The smallest number of young of which the least likely outcome has an exact p-value below the level."""
    rarest = probabilities.min()
    corners = np.isclose(probabilities, rarest, rtol=1e-9).sum()
    return max(1, floor(log(level / corners) / log(rarest)) + 1)


def _until_separated(answer: Answer) -> int | None:
    best = answer.best
    rival = max(answer.open[1:], key=lambda outlook: outlook.fit.log_likelihood)
    gained, lost = _divergence(best, rival)
    ahead = best.fit.log_likelihood - rival.fit.log_likelihood
    if lost:
        return ceil(log(0.05) / log(1 - lost)) if lost < 1 else 1
    return _bounded((SEPARATED - ahead) / gained) if gained else None


def _divergence(best: Outlook, rival: Outlook) -> tuple[float, float]:
    """Kullback-Leibler divergence of the rival from the best, a young; and the share that the rival excludes."""
    gained = lost = 0.0
    for own, other in zip(best.parts, rival.parts, strict=True):
        weight = sum(own.tally.counts.values()) / sum(sum(part.tally.counts.values()) for part in best.parts)
        for kind, share in zip(
            own.distribution.classes, own.distribution.probabilities.tolist(), strict=True
        ):
            position = other.distribution.index.get(kind)
            if position is None:
                lost += weight * share
            else:
                gained += weight * share * log(share / other.distribution.probabilities[position])
    return gained, lost


def _until_found(outlook: Outlook, level: float) -> int | None:
    """By the noncentral chi-square: the noncentrality that gives 80 % power grows with the young (Cohen 1988)."""
    fit = outlook.fit
    if not fit.df or not fit.chi_square:
        return None
    noncentrality = float(chndtrinc(chdtri(fit.df, level), fit.df, 1 - POWER))
    return _bounded(noncentrality * fit.n / fit.chi_square - fit.n)


def _bounded(young: float) -> int | None:
    return max(0, ceil(young - 1e-9)) if young < MOST_YOUNG else None
