"""Answers: each question tested under every resolution of its labels, the one that fits best first."""

from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.findings.ratios.distributions import Distributions
from pipeline.findings.ratios.questions import Question, Split, case, splits
from pipeline.findings.ratios.resolutions import Resolution
from pipeline.findings.ratios.testing import Fit, fits


@dataclass(frozen=True, eq=False)
class Outlook:
    """A question under one resolution. `impossible` young are left out of the fit."""

    resolution: Resolution
    parts: tuple[Split, ...]
    impossible: int
    fit: Fit

    @property
    def p(self) -> float:
        """The p-value of the resolution: 0 where it makes young impossible that came."""
        return 0.0 if self.impossible else self.fit.p


@dataclass(frozen=True, eq=False)
class Answer:
    """A question and its outlooks, best first: fewest impossible young, then largest p, then likelihood.

    The best one speaks for the composite null: its p is the largest. Where every resolution makes some of the young
    impossible, its fit is that of the other young.
    """

    question: Question
    outlooks: tuple[Outlook, ...]

    @property
    def best(self) -> Outlook:
        return self.outlooks[0]

    @property
    def open(self) -> tuple[Outlook, ...]:
        """The resolutions that the young have not ruled out."""
        return tuple(outlook for outlook in self.outlooks if outlook.impossible == self.best.impossible)


def answers(questions: Sequence[Question], distributions: Distributions, *, seed: int) -> list[Answer]:
    """Test all questions in one go."""
    asked = [(q, r, splits(q, r, distributions)) for q in questions for r in q.resolutions]
    tested = iter(zip(asked, fits([case(parts) for _, _, parts in asked], seed=seed), strict=True))
    found = []
    for question in questions:
        outlooks = []
        for _ in question.resolutions:
            (_, resolution, parts), fit = next(tested)
            impossible = sum(sum(part.impossible.values()) for part in parts)
            outlooks.append(Outlook(resolution, parts, impossible, fit))
        outlooks.sort(key=lambda o: (o.impossible, -o.fit.p, -o.fit.log_likelihood))
        found.append(Answer(question, tuple(outlooks)))
    return found
