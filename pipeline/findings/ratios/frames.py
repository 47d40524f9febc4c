"""The findings tables of the ratio tests, in the columns of store/tables.py."""

from collections.abc import Iterable, Iterator, Sequence

import numpy as np
import pandas as pd
from scipy.special import bdtr, bdtrik

from pipeline.findings.frames import findings_frame
from pipeline.findings.ratios.answers import Answer, Outlook
from pipeline.findings.ratios.distributions import Distribution, Distributions, Readable, YoungKind
from pipeline.findings.ratios.heterogeneity import Heterogeneity
from pipeline.findings.ratios.meanings import meaning
from pipeline.findings.ratios.multinomial import Floats
from pipeline.findings.ratios.parent_words import resolution_words
from pipeline.findings.ratios.partition import Part
from pipeline.findings.ratios.questions import Question, Scope, Split
from pipeline.findings.ratios.resolutions import Resolution
from pipeline.findings.ratios.testing import Method
from pipeline.findings.ratios.verdicts import Judged
from pipeline.findings.ratios.words import gene_name, kind_name, ratio_words
from pipeline.genetics.collection import Collection
from pipeline.store.tables import HETEROGENEITY, RATIO_CLASSES, RATIO_PARTS, RATIO_RESOLUTIONS, RATIO_TESTS

MOST_CLASSES = 40
"""Classes of one test up to which each has a row; beyond, those that came have, and the others share one."""


class Frames:
    """Writes answers down for one collection."""

    def __init__(self, collection: Collection, distributions: Distributions) -> None:
        self.collection = collection
        self.distributions = distributions
        self._ratios: dict[Distribution, str] = {}
        self._words: dict[tuple[Resolution, ...], dict[Resolution, str]] = {}

    def tests(self, judged: Sequence[Judged]) -> pd.DataFrame:
        """One row a test (ratio_tests)."""
        return findings_frame(RATIO_TESTS, [self._test(one) for one in judged])

    def classes(self, judged: Sequence[Judged]) -> pd.DataFrame:
        """One row a class of young behind each test, under the resolution that fits best (ratio_classes)."""
        rows = [row for one in judged for row in self._classes(one.answer)]
        frame = findings_frame(RATIO_CLASSES, rows)
        n = np.array([row["n"] for row in rows])
        frame["low"], frame["high"] = binomial_range(n, frame["expected"].to_numpy(dtype=float))
        return frame

    def resolutions(self, judged: Sequence[Judged]) -> pd.DataFrame:
        """One row a resolution where the labels leave several (ratio_resolutions)."""
        return findings_frame(
            RATIO_RESOLUTIONS, [row for one in judged for row in self._resolutions(one.answer)]
        )

    def parts(self, parts: Iterable[Part]) -> pd.DataFrame:
        """One row a part of a joint chi-square (ratio_parts)."""
        return findings_frame(RATIO_PARTS, [self._part(part) for part in parts])

    def heterogeneity(self, found: Iterable[Heterogeneity]) -> pd.DataFrame:
        """One row a cross with repeated clutches (heterogeneity)."""
        return findings_frame(HETEROGENEITY, [self._heterogeneity(one) for one in found])

    def _asked(self, question: Question) -> dict[str, object]:
        return {
            "species": question.species,
            "scope": str(question.scope),
            "pairing": question.pairing or None,
            "clutch": question.clutch,
            "gene": None if question.joint else self._gene(question.species, question.loci[0]),
        }

    def _gene(self, species: str, locus: int) -> str:
        return gene_name(self.collection.catalogues[species].loci[locus])

    def _test(self, judged: Judged) -> dict[str, object]:
        answer, fit = judged.answer, judged.answer.best.fit
        tested = answer.p is not None and not answer.unexplained
        return self._asked(answer.question) | {
            "n": answer.question.n,
            "chi_square": fit.chi_square if tested else None,
            "df": fit.df if tested else None,
            "p_chi_square": fit.p_chi_square if tested and fit.df else None,
            "p_exact": 0.0 if answer.unexplained else fit.p_exact if tested else None,
            "method": str(Method.EXACT if answer.unexplained else answer.kindest.fit.method)
            if answer.p is not None
            else None,
            "simulations": (tested and answer.kindest.fit.simulations) or None,
            "p": answer.p,
            "q": judged.q,
            "verdict": str(judged.verdict),
            "expected": self._expected(answer),
            "resolution": self._resolution(answer, answer.best) or None,
            "impossible_young": answer.impossible_young,
            "young_to_settle": judged.more,
            "meaning": meaning(judged, ", ".join(self._impossible(answer))),
        }

    def _expected(self, answer: Answer) -> str:
        question, best = answer.question, answer.best
        if question.scope is Scope.GENE:
            return "; ".join(sorted({self._ratio(part.distribution) for part in best.parts}))
        by_sex = any(tally.by_sex for tally in question.tallies)
        return self._ratio(
            self.distributions.of(best.resolution.expectations, _read(question), by_sex=by_sex)
        )

    def _ratio(self, distribution: Distribution) -> str:
        if distribution not in self._ratios:
            self._ratios[distribution] = ratio_words(distribution)
        return self._ratios[distribution]

    def _resolution(self, answer: Answer, outlook: Outlook) -> str:
        question = answer.question
        if question.scope is Scope.GENE:
            return ""
        if question.resolutions not in self._words:
            pairing = self.collection.pairings[question.pairing]
            catalogue = self.collection.catalogues[question.species]
            self._words[question.resolutions] = resolution_words(question, pairing, catalogue)
        return self._words[question.resolutions][outlook.resolution]

    def _impossible(self, answer: Answer) -> list[str]:
        catalogue = self.collection.catalogues[answer.question.species]
        return [
            f"{n} {kind_name(kind, tally, answer.question, catalogue)}" for tally, kind, n in answer.never
        ]

    def _classes(self, answer: Answer) -> Iterator[dict[str, object]]:
        """Rows of one test; classes that several ratios or sets of readable genes share are summed."""
        question, catalogue = answer.question, self.collection.catalogues[answer.question.species]
        rows: dict[str, tuple[float, float, float]] = {}
        for part in answer.best.parts:
            n = float(part.counts.sum())
            for kind, count, expected in _shown(part):
                name = kind_name(kind, part.tally, question, catalogue) if kind else "all other classes"
                before = rows.get(name, (0.0, 0.0, 0.0))
                rows[name] = (before[0] + count, before[1] + expected, before[2] + n)
        asked = self._asked(question)
        for name, (observed, expected, n) in rows.items():
            yield asked | {"class": name, "observed": observed, "expected": expected, "n": n}

    def _resolutions(self, answer: Answer) -> Iterator[dict[str, object]]:
        if len(answer.outlooks) < 2:
            return
        for outlook in answer.outlooks:
            yield self._asked(answer.question) | {
                "resolution": self._resolution(answer, outlook),
                "p": answer.p_under(outlook),
                "log_likelihood": None if outlook.impossible else outlook.fit.log_likelihood,
                "best": outlook is answer.best,
            }

    def _part(self, part: Part) -> dict[str, object]:
        names = [self._gene(part.question.species, locus) for locus in part.loci]
        estimate = part.recombination
        return {
            "species": part.question.species,
            "pairing": part.question.pairing,
            "part": ("remainder", "segregation", "linkage")[len(names)],
            "gene": names[0] if names else None,
            "other_gene": names[1] if len(names) > 1 else None,
            "chi_square": part.chi_square,
            "df": part.df,
            "p": part.p,
            "recombination": estimate and estimate.fraction,
            "recombination_low": estimate and estimate.low,
            "recombination_high": estimate and estimate.high,
            "phase": estimate and (estimate.phase or None),
        }

    def _heterogeneity(self, one: Heterogeneity) -> dict[str, object]:
        asked = self._asked(one.question)
        return {
            "species": asked["species"],
            "pairing": asked["pairing"],
            "gene": asked["gene"],
            "clutches": one.clutches,
            "chi_square_total": one.total,
            "df_total": one.df_total,
            "chi_square_pooled": one.pooled,
            "df_pooled": one.df_pooled,
            "chi_square_heterogeneity": one.chi_square,
            "df_heterogeneity": one.df,
            "p_heterogeneity": one.p,
        }


def _read(question: Question) -> Readable:
    """The loci that at least one of the young could be read at: a ratio over others would tell of classes nobody saw."""
    seen = zip(*(tally.readable for tally in question.tallies), strict=True)
    return tuple(tuple(sorted({locus for own in group for locus in own})) for group in seen)


def _shown(part: Split) -> Iterator[tuple[YoungKind | None, float, float]]:
    """Classes with their observed and expected young; of very many those that came, then the others as one (None)."""
    counts, expected = part.counts.tolist(), (part.counts.sum() * part.distribution.probabilities).tolist()
    many = len(counts) > MOST_CLASSES
    for kind, count, share in zip(part.distribution.classes, counts, expected, strict=True):
        if count or not many:
            yield kind, count, share
    if many:
        yield None, 0.0, sum(share for count, share in zip(counts, expected, strict=True) if not count)
    for kind, count in part.impossible.items():
        yield kind, count, 0.0


def binomial_range(n: Floats, expected: Floats) -> tuple[Floats, Floats]:
    """The 2.5 % and 97.5 % points of binomial counts out of n with these expected counts, each as long as these."""
    share = np.clip(np.divide(expected, n, out=np.zeros_like(expected), where=n > 0), 0.0, 1.0)
    (n, share), place = np.unique(np.stack([n, share]), axis=1, return_inverse=True)
    return _binomial_point(0.025, n, share)[place], _binomial_point(0.975, n, share)[place]


def _binomial_point(chance: float, n: Floats, share: Floats) -> Floats:
    """The smallest count whose cumulative probability reaches `chance`."""
    inner = (share > 0) & (share < 1) & (n > 0)
    trials, p = np.where(inner, n, 1.0), np.where(inner, share, 0.5)
    found = np.ceil(np.nan_to_num(bdtrik(chance, trials, p), nan=0.0))
    lower = np.maximum(found - 1, 0.0)
    found = np.where(bdtr(lower, trials.astype(np.int64), p) >= chance, lower, found)
    return np.where(inner, np.minimum(found, n), n * share)
