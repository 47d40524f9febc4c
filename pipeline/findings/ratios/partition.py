"""Where a joint departure comes from: one part for each gene, one for each pair of genes, and what remains.

Where genes are independent under the null, Pearson's chi-square of the joint classes is the sum of those of the single
genes, of the interactions of pairs (chi-square of the pair less those of its genes) and of higher ones; for 9:3:3:1
and 1:1:1:1 these are the classical contrasts (Mather 1938). Genes recorded as linked are no product: there the part of
the pair is the likelihood ratio of the estimated against the recorded recombination fraction, with 1 df.

Where Cochran's rule fails, a single gene has its exact p-value and a pair of independent genes a simulated one
unless chi-square's is far from any doubt.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations, product

import numpy as np

from pipeline.findings.ratios.answers import Answer
from pipeline.findings.ratios.distributions import Distribution, Distributions, YoungKind
from pipeline.findings.ratios.interaction import Interactions
from pipeline.findings.ratios.linkage import Recombination, phases, recombination
from pipeline.findings.ratios.multinomial import chi_square_tail, cochran_holds
from pipeline.findings.ratios.questions import Question, Scope
from pipeline.findings.ratios.testing import Block, Fit, fits
from pipeline.genetics.crosses import Diplotype
from pipeline.genetics.genes import Catalogue

_DOUBTFUL = 0.25
"""Below it the p-value of a pair with small counts is simulated; above, chi-square's is near enough to say 'nothing'."""


@dataclass(frozen=True)
class Part:
    """One part of a joint chi-square. `loci` are one or two for segregation and linkage, none for the remainder.

    `p` is None where expected counts are too small for chi-square and nothing else is to be had.
    """

    question: Question
    loci: tuple[int, ...]
    chi_square: float
    df: int
    p: float | None
    recombination: Recombination | None = None


@dataclass(frozen=True)
class _Joint:
    """A joint question under its best resolution, cut down to the young that were read at every locus."""

    answer: Answer
    tables: tuple[Mapping[YoungKind, int], ...]
    """Fully read young, those sexed apart from those not; classes that can't be are left out."""

    @property
    def where(self) -> dict[int, tuple[int, int]]:
        """For each locus its group in the question and its place in the group."""
        return {
            locus: (g, i)
            for g, (_, _, loci) in enumerate(self.answer.question.groups)
            for i, locus in enumerate(loci)
        }

    def sexed(self, locus: int) -> bool:
        """Whether daughters and sons are classes apart at a locus."""
        return self.answer.best.resolution.expectations[self.where[locus][0]].sexed


@dataclass(frozen=True)
class _Means:
    """What the split needs besides the young."""

    catalogues: Mapping[str, Catalogue]
    distributions: Distributions
    interactions: Interactions
    level: float


def parts(
    answers: Iterable[Answer],
    catalogues: Mapping[str, Catalogue],
    distributions: Distributions,
    *,
    seed: int,
    level: float,
) -> list[Part]:
    """The parts of every pairing whose young were read at two loci or more together.

    A recombination fraction is estimated where two genes depart from independence at the level, or are recorded as
    linked.
    """
    means = _Means(catalogues, distributions, Interactions(seed), level)
    joints = [joint for answer in answers if (joint := _joint(answer))]
    cases = [_blocks(joint, (locus,), means) for joint in joints for locus in joint.answer.question.loci]
    singles = iter(fits([[b for b, _ in case] for case in cases], seed=seed))
    found: list[Part] = []
    for joint in joints:
        own = {locus: next(singles) for locus in joint.answer.question.loci}
        found += _of_joint(joint, own, means)
    return found


def _joint(answer: Answer) -> _Joint | None:
    question = answer.question
    if question.scope is not Scope.PAIRING or not question.joint or len(question.loci) < 2:
        return None
    full = tuple(tuple(range(len(loci))) for _, _, loci in question.groups)
    tables = [
        {kind: count for kind, count in part.tally.counts.items() if kind not in part.impossible}
        for part in answer.best.parts
        if part.tally.readable == full
    ]
    tables = [table for table in tables if table]
    return _Joint(answer, tuple(tables)) if tables else None


def _blocks(joint: _Joint, loci: tuple[int, ...], means: _Means) -> list[tuple[Block, Distribution]]:
    """The young of each table at some of the loci alone."""
    question, expectations = joint.answer.question, joint.answer.best.resolution.expectations
    readable = tuple(
        tuple(i for i, locus in enumerate(own) if locus in loci) for _, _, own in question.groups
    )
    found = []
    for table in joint.tables:
        by_sex = any(joint.sexed(locus) for locus in loci) and next(iter(table)).sex is not None
        distribution = means.distributions.of(expectations, readable, by_sex=by_sex)
        counts = np.zeros(len(distribution.classes))
        for kind, count in _cut_down(question, loci, table, by_sex=by_sex).items():
            counts[distribution.index[kind]] += count
        found.append((Block(counts, distribution.probabilities, distribution.ratio), distribution))
    return found


def _cut_down(
    question: Question, loci: tuple[int, ...], table: Mapping[YoungKind, int], *, by_sex: bool
) -> Counter[YoungKind]:
    kept = [i for i, locus in enumerate(question.loci) if locus in loci]
    cut: Counter[YoungKind] = Counter()
    for kind, count in table.items():
        cut[YoungKind(kind.sex if by_sex else None, tuple(kind.looks[i] for i in kept))] += count
    return cut


def _of_joint(joint: _Joint, own: Mapping[int, Fit], means: _Means) -> list[Part]:
    question = joint.answer.question
    varying = [locus for locus in question.loci if own[locus].df]
    found = [
        Part(question, (locus,), own[locus].chi_square, own[locus].df, own[locus].p) for locus in varying
    ]
    for pair in combinations(varying, 2):
        part = (
            _interaction(joint, pair, own, means)
            if _independent(joint, pair)
            else _linked(joint, pair, means)
        )
        found += [part] if part else []
    if all(_independent(joint, pair) for pair in combinations(question.loci, 2)):
        blocks = [b for b, _ in _blocks(joint, question.loci, means)]
        chi_square = max(0.0, sum(map(_chi_square, blocks)) - sum(part.chi_square for part in found))
        df = sum(len(b.counts) - 1 for b in blocks) - sum(part.df for part in found)
        p = chi_square_tail(chi_square, df) if all(map(_large_enough, blocks)) else None
        found += [Part(question, (), chi_square, df, p)] if df > 0 else []
    return found


def _interaction(joint: _Joint, pair: tuple[int, int], own: Mapping[int, Fit], means: _Means) -> Part:
    """The part of two genes that are independent under the null."""
    found = _blocks(joint, pair, means)
    chi_square = max(
        0.0, sum(_chi_square(b) for b, _ in found) - sum(own[locus].chi_square for locus in pair)
    )
    df = sum(len(b.counts) - 1 for b, _ in found) - sum(own[locus].df for locus in pair)
    p = chi_square_tail(chi_square, df)
    if p < _DOUBTFUL and not all(_large_enough(b) for b, _ in found):
        sexed = (joint.sexed(pair[0]), joint.sexed(pair[1]))
        p = means.interactions.p(chi_square, [(distribution, b.n) for b, distribution in found], sexed)
    estimate = _estimate(joint, pair, means) if p < means.level else None
    return Part(joint.answer.question, pair, chi_square, df, p, estimate)


def _linked(joint: _Joint, pair: tuple[int, int], means: _Means) -> Part | None:
    """The part of two genes that are recorded as linked; None where the young say nothing of their recombination."""
    estimate = _estimate(joint, pair, means)
    if estimate is None:
        return None
    blocks = [b for b, _ in _blocks(joint, pair, means)]
    recorded = sum(float(b.counts @ np.log(b.probabilities)) for b in blocks)
    chi_square = max(0.0, 2 * (estimate.log_likelihood - recorded))
    p = chi_square_tail(chi_square, 1) if all(map(_large_enough, blocks)) else None
    return Part(joint.answer.question, pair, chi_square, 1, p, estimate)


def _independent(joint: _Joint, pair: tuple[int, int]) -> bool:
    """Whether the null is a product of the two loci: other linkage groups, and not both different in the sexes."""
    one, other = pair
    return joint.where[one][0] != joint.where[other][0] and not (joint.sexed(one) and joint.sexed(other))


def _estimate(joint: _Joint, pair: tuple[int, int], means: _Means) -> Recombination | None:
    question = joint.answer.question
    catalogue = means.catalogues[question.species]
    loci = (catalogue.loci[pair[0]], catalogue.loci[pair[1]])
    if loci[0].sex_linked != loci[1].sex_linked:
        return None
    by_sex = any(joint.sexed(locus) for locus in pair)
    young: Counter = Counter()
    for table in joint.tables:
        for kind, count in _cut_down(question, pair, table, by_sex=by_sex).items():
            young[kind.sex, *kind.looks] += count
    return recombination(catalogue, loci, _parents(joint, pair), young)


def _parents(joint: _Joint, pair: tuple[int, int]) -> list[tuple[Diplotype, Diplotype]]:
    """Diplotypes of dam and sire at the two loci: in the recorded phase where they are linked, else in any."""
    (g, i), (h, j) = (joint.where[locus] for locus in pair)
    positions = [own for _, own, _ in joint.answer.question.groups]
    found: list[tuple[Diplotype, Diplotype]] = []
    for groups in joint.answer.best.resolution.by_sire.values():
        if g == h:
            own = positions[g]
            found += [
                (_strands(dam, dam, own[i], own[j]), _strands(sire, sire, own[i], own[j]))
                for dam, sire in groups[g]
            ]
            continue
        for one, other in product(groups[g], groups[h]):
            merged = [
                _strands(a, b, positions[g][i], positions[h][j]) for a, b in zip(one, other, strict=True)
            ]
            found += phases([merged[0]], [merged[1]])
    return list(dict.fromkeys(found))


def _strands(one: Diplotype, other: Diplotype, i: int, j: int) -> Diplotype:
    return tuple(sorted((a[i], b[j]) for a, b in zip(one, other, strict=True)))


def _chi_square(block: Block) -> float:
    expected = block.counts.sum() * block.probabilities
    return float(((block.counts - expected) ** 2 / expected).sum())


def _large_enough(block: Block) -> bool:
    return cochran_holds(block.counts.sum() * block.probabilities)
