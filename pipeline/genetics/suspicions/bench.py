"""One species on the bench: the evidence of all its families under its Genes sheet as recorded, or with changes."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from math import inf, isnan

from pipeline.genetics.carriers.families import Family
from pipeline.genetics.carriers.solving import Solved, guests_of, solve_family
from pipeline.genetics.collection import Settings
from pipeline.genetics.genes import Catalogue
from pipeline.genetics.suspicions.alternatives import Changes, changed, part_of
from pipeline.genetics.suspicions.looks import Looks, looks_of, odd_looks
from pipeline.genetics.suspicions.rereading import restacked
from pipeline.genetics.suspicions.rewording import Wording


@dataclass(frozen=True)
class Weighed:
    """One family under one catalogue. `log_evidence` is ln P(all its records); NaN where that could not be had."""

    family: Family
    solved: Solved
    log_evidence: float


@dataclass
class Bench:
    """The families of one species.

    `doubled`: see Wording. `every`: weigh families that never name a gene too, whose evidence hardly changes.
    """

    catalogue: Catalogue
    settings: Settings
    families: list[Family]
    doubled: Mapping[str, float]
    every: bool = False

    @cached_property
    def looks(self) -> tuple[Looks, ...]:
        """Per family, its looks as recorded."""
        return tuple(looks_of(family) for family in self.families)

    def concerned(self, genes: Iterable[str]) -> list[int]:
        """Families whose records name one of the genes; all of them where `every` is set."""
        wanted = frozenset(genes)
        return [i for i, own in enumerate(self.looks) if self.every or own.genes & wanted]

    def as_recorded(self, solved: Iterable[Solved]) -> dict[int, Weighed]:
        """The families as solved under the Genes sheet as recorded."""
        wording = Wording(self.catalogue, self.catalogue, self.doubled)
        return {i: self._weighed(i, own, self.catalogue, wording) for i, own in enumerate(solved)}

    def weigh(
        self, changes: Changes, only: Iterable[int] | None = None, *, part: Iterable[str] | None = None
    ) -> Mapping[int, Weighed]:
        """Families by position, under the changed catalogue, or under that part of it in which some genes lie."""
        after = changed(self.catalogue, changes)
        if part is not None:
            after = part_of(after, part)
        wording = Wording(self.catalogue, after, self.doubled)
        shapes = restacked(wording, after, self.settings)
        wanted = range(len(self.families)) if only is None else list(only)
        near = [self.families[i] for i in sorted({*wanted, *self._hosts(wanted)})]
        guests = guests_of(near, {family.species: shapes for family in near}, self.settings)
        found = {}
        for i in wanted:
            own = solve_family(self.families[i], shapes, self.settings, guests)
            found[i] = self._weighed(i, own, after, wording)
        return found

    def _weighed(self, i: int, solved: Solved, catalogue: Catalogue, wording: Wording) -> Weighed:
        odd = odd_looks(self.looks[i], wording, catalogue, self.settings)
        return Weighed(solved.family, solved, self._log_evidence(solved) + odd)

    def _hosts(self, wanted: Iterable[int]) -> set[int]:
        """Families whose males may have sired a clutch of the wanted ones."""
        males = {c.male for i in wanted for clutch in self.families[i].clutches for c in clutch.candidates}
        return {i for i, family in enumerate(self.families) if not males.isdisjoint(family.animals)}

    @staticmethod
    def _log_evidence(solved: Solved) -> float:
        if solved.posterior is None:
            return float("nan")
        return -inf if solved.clashes else solved.posterior.log_evidence


def gained(after: Mapping[int, Weighed], before: Mapping[int, Weighed]) -> float:
    """ln of the evidence ratio over the families of `after`; a family that could not be weighed is left out."""
    total = 0.0
    for i, own in after.items():
        difference = own.log_evidence - before[i].log_evidence
        total += 0.0 if isnan(difference) else difference
    return total
