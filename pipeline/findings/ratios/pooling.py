"""Each gene across the collection: young of all pairings with the same expected ratio put together.

Only pairings whose labels leave a single ratio take part. Choosing the better-fitting ratio of the others first and
pooling them by it would be unfair both ways: pairings of two possible hets would join the 3:1 only once a recessive
young has shown, so that the pool has too many (the ascertainment bias of segregation analysis). Their young are
counted as left out, and judged pairing by pairing.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence

import numpy as np

from pipeline.findings.ratios.answers import Answer, Outlook
from pipeline.findings.ratios.distributions import YoungKind
from pipeline.findings.ratios.questions import Question, Scope, Split, Tally, case
from pipeline.findings.ratios.resolutions import Resolution
from pipeline.findings.ratios.testing import fits


def gene_answers(answers: Iterable[Answer], *, seed: int) -> list[Answer]:
    """One answer a species and locus: a chi-square for each distinct ratio, summed with their degrees of freedom."""
    families: dict[tuple[str, tuple[int, ...]], list[Answer]] = defaultdict(list)
    for answer in answers:
        question = answer.question
        if question.scope is Scope.PAIRING and not question.joint:
            families[question.species, question.loci].append(answer)
    pools = []
    for _, members in sorted(families.items()):
        certain = [answer for answer in members if len(answer.outlooks) == 1]
        parts = _pooled(certain)
        if any(len(part.distribution.classes) > 1 or part.impossible for part in parts):
            pools.append((_question(members, certain, parts), parts))
    tested = fits([case(parts) for _, parts in pools], seed=seed)
    return [
        Answer(question, (Outlook(Resolution((), {}), parts, fit),))
        for (question, parts), fit in zip(pools, tested, strict=True)
    ]


def _pooled(certain: Sequence[Answer]) -> tuple[Split, ...]:
    together: dict[object, list[Split]] = defaultdict(list)
    for answer in certain:
        for part in answer.best.parts:
            together[part.distribution].append(part)
    return tuple(_one(own) for own in together.values())


def _one(parts: Sequence[Split]) -> Split:
    first = parts[0]
    counts: Counter[YoungKind] = Counter()
    impossible: Counter[YoungKind] = Counter()
    for part in parts:
        counts.update(part.tally.counts)
        impossible.update(part.impossible)
    tally = Tally(first.tally.readable, first.tally.by_sex, counts)
    return Split(tally, first.distribution, np.sum([part.counts for part in parts], axis=0), impossible)


def _question(members: Sequence[Answer], certain: Sequence[Answer], parts: Sequence[Split]) -> Question:
    first = members[0].question
    left_out = sum(answer.question.n for answer in members) - sum(answer.question.n for answer in certain)
    tallies = tuple(part.tally for part in parts)
    return Question(first.species, Scope.GENE, "", None, first.groups, False, False, tallies, (), left_out)
