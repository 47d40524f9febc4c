"""Do repeated clutches of one cross agree? Total, pooled and heterogeneity chi-square.

Heterogeneity is by subtraction (total less pooled, as are the degrees of freedom), not the chi-square of the
contingency table, which tests the same and differs a little in value.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from pipeline.findings.ratios.answers import Answer, Outlook
from pipeline.findings.ratios.multinomial import chi_square_tail
from pipeline.findings.ratios.questions import Question, Scope


@dataclass(frozen=True)
class Heterogeneity:
    """Chi-squares of the clutches behind one pooled question; `clutches` had young that could vary."""

    question: Question
    clutches: int
    total: float
    df_total: int
    pooled: float
    df_pooled: int

    @property
    def chi_square(self) -> float:
        """Total less pooled."""
        return self.total - self.pooled

    @property
    def df(self) -> int:
        """Degrees of freedom of the total less those of the pool."""
        return self.df_total - self.df_pooled

    @property
    def p(self) -> float:
        """Upper tail of chi-square: small where the clutches disagree among themselves."""
        return chi_square_tail(self.chi_square, self.df)


def heterogeneities(answers: Iterable[Answer], pools: Iterable[Answer]) -> list[Heterogeneity]:
    """For each pairing with several clutches, under the resolution that fits the pairing best; then gene by gene across
    pairings, every clutch a replicate. Only where clutches leave more degrees of freedom than their pool."""
    clutches: dict[tuple, list[Answer]] = defaultdict(list)
    pairings: list[Answer] = []
    for answer in answers:
        question = answer.question
        if question.scope is Scope.CLUTCH:
            clutches[question.pairing, question.loci, question.joint].append(answer)
        else:
            pairings.append(answer)
    found = [
        _compared(pairing.question, pairing.best, [_under(pairing.best, one) for one in own])
        for pairing in pairings
        if len(own := clutches[_key(pairing.question)]) > 1
    ]
    by_gene: dict[tuple, list[Outlook]] = defaultdict(list)
    for pairing in pairings:
        if not pairing.question.joint and len(pairing.outlooks) == 1:
            own = clutches[_key(pairing.question)]
            by_gene[pairing.question.species, pairing.question.loci] += [one.best for one in own]
    for pool in pools:
        found.append(_compared(pool.question, pool.best, by_gene[pool.question.species, pool.question.loci]))
    return [one for one in found if one.df > 0]


def _key(question: Question) -> tuple:
    return question.pairing, question.loci, question.joint


def _under(best: Outlook, clutch: Answer) -> Outlook:
    """The clutch under the pairing's best resolution."""
    return next(outlook for outlook in clutch.outlooks if outlook.resolution is best.resolution)


def _compared(question: Question, pooled: Outlook, replicates: Sequence[Outlook]) -> Heterogeneity:
    return Heterogeneity(
        question,
        sum(one.fit.df > 0 for one in replicates),
        sum(one.fit.chi_square for one in replicates),
        sum(one.fit.df for one in replicates),
        pooled.fit.chi_square,
        pooled.fit.df,
    )
