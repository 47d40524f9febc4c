"""What a pair can be expected to have: genotypes and looks of the young, in exact fractions.

Unlinked groups are independent given the sex of the young, so a cross keeps them apart and multiplies only when
classes are asked for.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from math import prod

from pipeline.genetics.genes import SEXES, Appearance, Catalogue, LinkageGroup, Sex
from pipeline.genetics.haplotypes import (
    Diplotype,
    Haplotype,
    Weights,
    diplotypes,
    gametes,
    genotype,
    pooled_gametes,
    viable,
)
from pipeline.genetics.label_claims import canonical
from pipeline.genetics.looks import GroupLook, Look, group_looks, look_statement
from pipeline.genetics.statements import Statement, genotypes_at

__all__ = [
    "Cross",
    "CrossError",
    "Diplotype",
    "Haplotype",
    "Parent",
    "Weights",
    "YoungClass",
    "cross",
    "diplotypes",
    "gametes",
    "genotype",
    "group_looks",
    "look_statement",
    "parent_from",
    "pooled_gametes",
    "viable",
]
Parts = tuple[tuple[Look, GroupLook], ...]


class CrossError(ValueError):
    """The pair can't be crossed; the message says which parent and why."""


@dataclass(frozen=True)
class Parent:
    """A parent known only in probability: for every linkage group of the catalogue, diplotypes with weights summing to 1."""

    sex: Sex
    groups: tuple[Weights, ...]


@dataclass(frozen=True)
class YoungClass:
    """Young that look alike: their share, and what hides in them.

    `sex` is None where the sexes don't differ. `probability` is the share of all surviving young.
    """

    sex: Sex | None
    looks: Mapping[str, Appearance]
    probability: Fraction
    statement: Statement


@dataclass(frozen=True)
class Cross:
    """Surviving young of one pair. `young[sex][g]` are the diplotypes of group g given the sex, summing to 1."""

    catalogue: Catalogue
    sexes: Mapping[Sex, Fraction]
    young: Mapping[Sex, tuple[Weights, ...]]
    lost: Fraction
    """Share of all zygotes that die of a lethal pair of genes."""

    @property
    def sexes_differ(self) -> bool:
        """Whether daughters and sons differ in number, look or what they carry."""
        if self.sexes["F"] != self.sexes["M"]:
            return True
        return any(
            group.sex_linked and group_looks(group, daughters) != group_looks(group, sons)
            for group, daughters, sons in zip(
                self.catalogue.groups, self.young["F"], self.young["M"], strict=True
            )
        )

    def number_of_classes(self) -> int:
        """How many classes `classes` would list, without listing them."""
        sexes = SEXES if self.sexes_differ else SEXES[:1]
        return sum(prod(len(looks) for looks in self._looks(sex)) for sex in sexes)

    def classes(self, loci: Iterable[str] | None = None, most: int | None = None) -> list[YoungClass]:
        """Classes of young by look, likeliest first; `loci` limits them to those names, `most` to so many.

        Time grows with the number of classes, the product over groups of the looks that segregate; with `most` only
        with that number and the number of groups.
        """
        wanted = None if loci is None else set(loci)
        apart = self.sexes_differ
        found = [
            self._young_class(sex if apart else None, self.sexes[sex] if apart else Fraction(1), parts)
            for sex in (SEXES if apart else SEXES[:1])
            for parts in _combined(self._looks(sex, wanted), most)
        ]
        return sorted(found, key=lambda entry: -entry.probability)[:most]

    def _looks(self, sex: Sex, wanted: set[str] | None = None) -> list[dict[Look, GroupLook]]:
        groups = zip(self.catalogue.groups, self.young[sex], strict=True)
        return [group_looks(group, weights, wanted) for group, weights in groups]

    def _young_class(self, sex: Sex | None, share: Fraction, parts: Parts) -> YoungClass:
        hidden = [part for _, part in parts]
        statement = Statement(
            tuple(shown for part in hidden for shown in part.shows),
            tuple(carried for part in hidden for carried in part.carries),
        )
        return YoungClass(
            sex,
            {name: look for own, _ in parts for name, look in own},
            share * prod((part.probability for part in hidden), start=Fraction(1)),
            canonical(statement, self.catalogue),
        )


def _combined(groups: list[dict[Look, GroupLook]], most: int | None) -> Iterable[Parts]:
    """One look of each group, in every combination, or the `most` likeliest of them.

    The likeliest of a product of groups are products of the likeliest of its parts, so a cut after each group loses none.
    """
    if most is None:
        return product(*(looks.items() for looks in groups))
    best: list[tuple[Fraction, Parts]] = [(Fraction(1), ())]
    for looks in groups:
        longer = [
            (chance * look.probability, (*parts, (name, look)))
            for chance, parts in best
            for name, look in looks.items()
        ]
        best = sorted(longer, key=lambda entry: -entry[0])[:most]
    return [parts for _, parts in best]


def parent_from(
    statement: Statement, sex: Sex, catalogue: Catalogue, *, background: Fraction = Fraction(1, 100)
) -> Parent:
    """A parent as its label states it, phases unknown.

    Raises CrossError where the label fits no genotype of that sex (a 'het' of a gene of which it has one copy).
    """
    groups = []
    for group in catalogue.groups:
        single = catalogue.single_copy(group, sex)
        per_locus = []
        for locus in group.loci:
            allowed = genotypes_at(statement, locus, single_copy=single, background=background)
            if not allowed:
                raise CrossError(
                    f"no {'male' if sex == 'M' else 'female'} can be what the label says at {locus.name}"
                )
            per_locus.append(allowed)
        weights: dict[Diplotype, Fraction] = {}
        for choice in product(*(allowed.items() for allowed in per_locus)):
            chance = prod((weight for _, weight in choice), start=Fraction(1))
            genotypes = {locus.name: own for locus, (own, _) in zip(group.loci, choice, strict=True)}
            for phase, share in diplotypes(genotypes, group).items():
                weights[phase] = weights.get(phase, Fraction(0)) + chance * share
        groups.append(weights)
    return Parent(sex, tuple(groups))


def cross(dam: Parent, sire: Parent, catalogue: Catalogue) -> Cross:
    """Young of a dam and a sire; lethal diplotypes are struck out and the rest rescaled.

    All living young of both sexes sum to 1, so that a sex that loses more young is the rarer one; where all of one sex
    die, it has a share of 0 and no diplotypes. Raises CrossError where the sexes are not female and male, or where no
    young can live.
    """
    if (dam.sex, sire.sex) != ("F", "M"):
        raise CrossError("a cross needs a female as the dam and a male as the sire")
    young: dict[Sex, tuple[Weights, ...]] = {}
    survive: dict[Sex, Fraction] = {}
    deadly = ""
    for sex in SEXES:
        groups, alive = [], Fraction(1)
        for group, from_dam, from_sire in zip(catalogue.groups, dam.groups, sire.groups, strict=True):
            weights = _zygotes(group, from_dam, from_sire, sex, catalogue)
            living = {d: w for d, w in weights.items() if viable(d, group)}
            share = sum(living.values(), Fraction(0))
            if not share:
                deadly = group.name
            groups.append({d: w / share for d, w in living.items()})
            alive *= share
        young[sex], survive[sex] = tuple(groups) if alive else tuple({} for _ in groups), alive
    total = sum(survive.values(), Fraction(0))
    if not total:
        raise CrossError(f"no young of this pair can live: every one would have a lethal pair at {deadly}")
    return Cross(catalogue, {sex: survive[sex] / total for sex in SEXES}, young, 1 - total / 2)


def _zygotes(
    group: LinkageGroup, dam: Weights, sire: Weights, sex: Sex, catalogue: Catalogue
) -> dict[Diplotype, Fraction]:
    from_dam, from_sire = pooled_gametes(dam, group), pooled_gametes(sire, group)
    if catalogue.single_copy(group, sex):
        giver = from_dam if sex == "M" else from_sire
        return {(haplotype,): chance for haplotype, chance in giver.items()}
    zygotes: dict[Diplotype, Fraction] = {}
    for (one, p), (other, q) in product(from_dam.items(), from_sire.items()):
        pair = (one, other) if one <= other else (other, one)
        zygotes[pair] = zygotes.get(pair, Fraction(0)) + p * q
    return zygotes
