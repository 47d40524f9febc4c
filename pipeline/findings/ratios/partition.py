"""Where a joint departure comes from: one part for each gene, one for each pair of genes, and what remains.

Where genes are independent under the null, Pearson's chi-square of the joint classes is the sum of those of the single
genes, of the interactions of pairs (chi-square of the pair less those of its genes) and of higher ones; for 9:3:3:1
and 1:1:1:1 these are the classical contrasts (Mather 1938). Genes recorded as linked are no product: there the part of
the pair is the likelihood ratio of the estimated against the recorded recombination fraction, with 1 df.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations, product

import numpy as np

from pipeline.findings.ratios.answers import Answer
from pipeline.findings.ratios.distributions import Distributions, YoungKind
from pipeline.findings.ratios.linkage import Recombination, phases, recombination
from pipeline.findings.ratios.multinomial import chi_square_tail, cochran_holds
from pipeline.findings.ratios.questions import Question, Scope
from pipeline.findings.ratios.testing import Block, Fit, fits
from pipeline.genetics.crosses import Diplotype
from pipeline.genetics.genes import Catalogue


@dataclass(frozen=True)
class Part:
    """One part of a joint chi-square. `loci` are one or two for segregation and linkage, none for the remainder.

    `p` is None where expected counts are too small for chi-square and no exact test is to be had.
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
        return self.answer.best.resolution.expectations[self.where[locus][0]].sexed


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
    joints = [joint for answer in answers if (joint := _joint(answer))]
    blocks = [
        [
            [_block(joint, (locus,), table, distributions) for table in joint.tables]
            for locus in joint.answer.question.loci
        ]
        for joint in joints
    ]
    singles = iter(fits([case for own in blocks for case in own], seed=seed))
    found: list[Part] = []
    for joint in joints:
        own = {locus: next(singles) for locus in joint.answer.question.loci}
        found += _of_joint(joint, own, catalogues[joint.answer.question.species], distributions, level)
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


def _block(
    joint: _Joint, loci: tuple[int, ...], table: Mapping[YoungKind, int], distributions: Distributions
) -> Block:
    """The young of a table at some of the loci alone."""
    question = joint.answer.question
    readable = tuple(
        tuple(i for i, locus in enumerate(own) if locus in loci) for _, _, own in question.groups
    )
    by_sex = any(joint.sexed(locus) for locus in loci) and next(iter(table)).sex is not None
    distribution = distributions.of(joint.answer.best.resolution.expectations, readable, by_sex=by_sex)
    counts = np.zeros(len(distribution.classes))
    for kind, count in _cut_down(question, loci, table, by_sex=by_sex).items():
        counts[distribution.index[kind]] += count
    return Block(counts, distribution.probabilities, distribution.ratio)


def _cut_down(
    question: Question, loci: tuple[int, ...], table: Mapping[YoungKind, int], *, by_sex: bool
) -> Counter[YoungKind]:
    kept = [i for i, locus in enumerate(question.loci) if locus in loci]
    cut: Counter[YoungKind] = Counter()
    for kind, count in table.items():
        cut[YoungKind(kind.sex if by_sex else None, tuple(kind.looks[i] for i in kept))] += count
    return cut


def _of_joint(
    joint: _Joint, own: Mapping[int, Fit], catalogue: Catalogue, distributions: Distributions, level: float
) -> list[Part]:
    question = joint.answer.question
    found = [Part(question, (locus,), fit.chi_square, fit.df, fit.p) for locus, fit in own.items() if fit.df]
    varying = [locus for locus, fit in own.items() if fit.df]
    for pair in combinations(varying, 2):
        found.append(_pair(joint, pair, own, catalogue, distributions, level))
    if all(_independent(joint, pair) for pair in combinations(question.loci, 2)):
        total = [_block(joint, question.loci, table, distributions) for table in joint.tables]
        chi_square = sum(map(_chi_square, total)) - sum(part.chi_square for part in found)
        df = sum(len(b.counts) - 1 for b in total) - sum(part.df for part in found)
        if df > 0:
            p = chi_square_tail(chi_square, df) if all(_large_enough(b) for b in total) else None
            found.append(Part(question, (), max(chi_square, 0.0), df, p))
    return found


def _pair(
    joint: _Joint,
    pair: tuple[int, int],
    own: Mapping[int, Fit],
    catalogue: Catalogue,
    distributions: Distributions,
    level: float,
) -> Part:
    blocks = [_block(joint, pair, table, distributions) for table in joint.tables]
    enough = all(_large_enough(b) for b in blocks)
    if _independent(joint, pair):
        chi_square = max(0.0, sum(map(_chi_square, blocks)) - sum(own[locus].chi_square for locus in pair))
        df = sum(len(b.counts) - 1 for b in blocks) - sum(own[locus].df for locus in pair)
        tail = chi_square_tail(chi_square, df)
        estimate = _estimate(joint, pair, catalogue) if tail < level else None
        return Part(joint.answer.question, pair, chi_square, df, tail if enough else None, estimate)
    estimate = _estimate(joint, pair, catalogue)
    if estimate is None:
        return Part(joint.answer.question, pair, 0.0, 0, None)
    recorded = sum(float(b.counts @ np.log(b.probabilities)) for b in blocks)
    chi_square = max(0.0, 2 * (estimate.log_likelihood - recorded))
    return Part(
        joint.answer.question,
        pair,
        chi_square,
        1,
        chi_square_tail(chi_square, 1) if enough else None,
        estimate,
    )


def _independent(joint: _Joint, pair: tuple[int, int]) -> bool:
    """Whether the null is a product of the two loci: other linkage groups, and not both different in the sexes."""
    one, other = pair
    return joint.where[one][0] != joint.where[other][0] and not (joint.sexed(one) and joint.sexed(other))


def _estimate(joint: _Joint, pair: tuple[int, int], catalogue: Catalogue) -> Recombination | None:
    question, loci = joint.answer.question, (catalogue.loci[pair[0]], catalogue.loci[pair[1]])
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
            found += [
                tuple(_strands(d, d, positions[g][i], positions[g][j]) for d in both) for both in groups[g]
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
