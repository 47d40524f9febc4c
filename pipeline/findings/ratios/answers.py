"""Answers: each question tested under every resolution of its labels, the one that fits best first."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from pipeline.findings.ratios.distributions import Distributions, YoungKind
from pipeline.findings.ratios.questions import Question, Split, Tally, case, splits
from pipeline.findings.ratios.resolutions import Resolution
from pipeline.findings.ratios.testing import Fit, fits


@dataclass(frozen=True, eq=False)
class Outlook:
    """A question under one resolution: the fit is of the young that can be, `impossible` counts the others."""

    resolution: Resolution
    parts: tuple[Split, ...]
    fit: Fit

    @cached_property
    def impossible(self) -> int:
        """Young of classes that can't be under this resolution."""
        return sum(sum(part.impossible.values()) for part in self.parts)


@dataclass(frozen=True, eq=False)
class Answer:
    """A question and its outlooks, best first: fewest impossible young, then likelihood.

    The best one is what the labels most probably mean. The verdict rests on the kindest one, whose p is the largest: the
    null is composite and falls only with its last resolution. With many classes the two may differ.
    """

    question: Question
    outlooks: tuple[Outlook, ...]

    @property
    def best(self) -> Outlook:
        """The likeliest resolution."""
        return self.outlooks[0]

    @cached_property
    def kindest(self) -> Outlook:
        """The resolution with the largest p-value."""
        return max(self.open, key=lambda outlook: outlook.fit.p)

    @cached_property
    def open(self) -> tuple[Outlook, ...]:
        """The resolutions that the young have not ruled out."""
        return tuple(outlook for outlook in self.outlooks if outlook.impossible == self.best.impossible)

    @cached_property
    def never(self) -> tuple[tuple[Tally, YoungKind, int], ...]:
        """Classes that came and that no resolution allows, with their young: reported apart from every test."""
        return tuple(
            (part.tally, kind, count)
            for i, part in enumerate(self.best.parts)
            for kind, count in part.impossible.items()
            if all(kind in outlook.parts[i].impossible for outlook in self.outlooks)
        )

    @cached_property
    def impossible_young(self) -> int:
        """Young of classes that no resolution allows."""
        return sum(count for _, _, count in self.never)

    def p_under(self, outlook: Outlook) -> float:
        """The p-value of a resolution: 0 where it makes young impossible that another allows."""
        return 0.0 if outlook.impossible > self.impossible_young else outlook.fit.p

    @property
    def unexplained(self) -> bool:
        """Whether no resolution explains all young, though each of their classes fits one of them."""
        return self.best.impossible > self.impossible_young

    @cached_property
    def p(self) -> float | None:
        """The p-value of the composite null; None where only impossible young came beside a single class."""
        varied = self.unexplained or any(outlook.fit.df for outlook in self.open)
        return self.p_under(self.kindest) if varied or not self.impossible_young else None


def answers(questions: Sequence[Question], distributions: Distributions, *, seed: int) -> list[Answer]:
    """Test all questions in one go; those of which no resolution lets anything vary, and nothing did, have no answer."""
    distinct = {question.asks: question for question in questions}.values()
    asked = [(q, r, splits(q, r, distributions)) for q in distinct for r in q.resolutions]
    found: dict[tuple, list[Outlook]] = {}
    for (question, resolution, parts), fit in zip(
        asked, fits([case(parts) for _, _, parts in asked], seed=seed), strict=True
    ):
        found.setdefault(question.asks, []).append(Outlook(resolution, parts, fit))
    told = {asks: _best_first(outlooks) for asks, outlooks in found.items()}
    return [Answer(question, told[question.asks]) for question in questions if told[question.asks]]


def _best_first(outlooks: list[Outlook]) -> tuple[Outlook, ...]:
    """None of them where all young are alike by each, and were."""
    outlooks.sort(key=lambda o: (o.impossible, -o.fit.log_likelihood, -o.fit.p))
    return tuple(outlooks) if any(o.fit.df or o.impossible for o in outlooks) else ()
