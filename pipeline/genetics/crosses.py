"""What a pair can be expected to have: gametes, genotypes and looks of the young, in exact fractions.

A haplotype is what one strand of a linkage group carries, an allele per locus; a diplotype is a sorted pair of
haplotypes, or a single one in the sex that has one copy of the chromosome. Unlinked groups are independent given the
sex of the young, so a cross keeps them apart and multiplies only when classes are asked for.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from math import prod

from pipeline.genetics.genes import SEXES, Appearance, Catalogue, Genotype, LinkageGroup, Locus, Sex
from pipeline.genetics.statements import Carried, Shown, Statement, genotypes_at

Haplotype = tuple[int, ...]
Diplotype = tuple[Haplotype, ...]
Weights = Mapping[Diplotype, Fraction]


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
            for group, daughters, sons in zip(self.catalogue.groups, self.young["F"], self.young["M"], strict=True)
        )

    def classes(self, loci: Iterable[str] | None = None) -> list[YoungClass]:
        """Classes of young by look, likeliest first; `loci` limits them to those names.

        Time grows with the number of classes: the product over groups of the looks that segregate.
        """
        wanted = None if loci is None else set(loci)
        apart = self.sexes_differ
        found = [
            entry
            for sex in (SEXES if apart else SEXES[:1])
            for entry in self._classes_of(sex, self.sexes[sex] if apart else Fraction(1), wanted, apart)
        ]
        return sorted(found, key=lambda entry: -entry.probability)

    def _classes_of(self, sex: Sex, share: Fraction, wanted: set[str] | None, apart: bool) -> Iterator[YoungClass]:
        groups = [
            group_looks(group, weights, wanted)
            for group, weights in zip(self.catalogue.groups, self.young[sex], strict=True)
        ]
        for combination in product(*(looks.items() for looks in groups)):
            looks = {name: look for (own, _) in combination for name, look in own}
            hidden = [part for (_, part) in combination]
            yield YoungClass(
                sex if apart else None,
                looks,
                share * prod((part.probability for part in hidden), start=Fraction(1)),
                Statement(
                    tuple(s for part in hidden for s in part.shows), tuple(c for part in hidden for c in part.carries)
                ),
            )


@dataclass
class GroupLook:
    """One look of a linkage group: its share, what shows, and each hidden gene with its odds within the look."""

    probability: Fraction
    shows: tuple[Shown, ...]
    carries: tuple[Carried, ...]


def fraction(rate: float) -> Fraction:
    """A recombination fraction given in decimals as the exact fraction meant: 0.1 is 1/10."""
    return Fraction(rate).limit_denominator(1_000_000)


def genotype(diplotype: Diplotype, position: int) -> Genotype:
    """The genotype of a diplotype at one locus of its group."""
    return tuple(sorted(strand[position] for strand in diplotype))


def viable(diplotype: Diplotype, group: LinkageGroup) -> bool:
    """Whether young of that diplotype live: no locus holds a lethal pair."""
    return all(locus.viable(genotype(diplotype, i)) for i, locus in enumerate(group.loci))


def gametes(diplotype: Diplotype, group: LinkageGroup) -> dict[Haplotype, Fraction]:
    """Haplotypes that a parent passes on, with their probabilities, under the group's links without interference."""
    if len(diplotype) == 1 or diplotype[0] == diplotype[1]:
        return {diplotype[0]: Fraction(1)}
    passed: dict[Haplotype, Fraction] = {}
    for strands in product((0, 1), repeat=len(group.loci)):
        chance = _strand_chance(strands, group)
        if chance:
            haplotype = tuple(diplotype[strand][i] for i, strand in enumerate(strands))
            passed[haplotype] = passed.get(haplotype, Fraction(0)) + chance
    return passed


def _strand_chance(strands: tuple[int, ...], group: LinkageGroup) -> Fraction:
    """Each tree of links starts on either strand; each link keeps or changes it."""
    trees = len(group.loci) - len(group.links)
    chance = Fraction(1, 2) ** trees
    for a, b, rate in group.links:
        changed = fraction(rate)
        chance *= changed if strands[a] != strands[b] else 1 - changed
    return chance


def diplotypes(genotypes: Mapping[str, Genotype], group: LinkageGroup) -> dict[Diplotype, Fraction]:
    """All phases of the genotypes of a group's loci (by locus name), equally likely."""
    own = [genotypes[locus.name] for locus in group.loci]
    if len(own[0]) == 1:
        return {(tuple(g[0] for g in own),): Fraction(1)}
    phases: dict[Diplotype, Fraction] = {}
    for flips in product((0, 1), repeat=len(own)):
        pair = tuple(sorted((tuple(g[f] for g, f in zip(own, flips, strict=True)),
                             tuple(g[1 - f] for g, f in zip(own, flips, strict=True)))))
        phases[pair] = phases.get(pair, Fraction(0)) + Fraction(1, 2 ** len(own))
    return phases


def parent_from(statement: Statement, sex: Sex, catalogue: Catalogue, *, background: Fraction = Fraction(1, 100)) -> Parent:
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
                raise CrossError(f"no {'male' if sex == 'M' else 'female'} can be what the label says at {locus.name}")
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

    Raises CrossError where the sexes are not female and male, or where no young can live.
    """
    if (dam.sex, sire.sex) != ("F", "M"):
        raise CrossError("a cross needs a female as the dam and a male as the sire")
    young: dict[Sex, tuple[Weights, ...]] = {}
    survive: dict[Sex, Fraction] = {}
    for sex in SEXES:
        groups, alive = [], Fraction(1)
        for group, from_dam, from_sire in zip(catalogue.groups, dam.groups, sire.groups, strict=True):
            weights = _zygotes(group, from_dam, from_sire, sex, catalogue)
            living = {d: w for d, w in weights.items() if viable(d, group)}
            share = sum(living.values(), Fraction(0))
            if not share:
                raise CrossError(f"no young of this pair can live: every one would have a lethal pair at {group.name}")
            groups.append({d: w / share for d, w in living.items()})
            alive *= share
        young[sex], survive[sex] = tuple(groups), alive
    total = sum(survive.values())
    return Cross(catalogue, {sex: survive[sex] / total for sex in SEXES}, young, 1 - total / 2)


def _zygotes(group: LinkageGroup, dam: Weights, sire: Weights, sex: Sex, catalogue: Catalogue) -> dict[Diplotype, Fraction]:
    from_dam, from_sire = pooled_gametes(dam, group), pooled_gametes(sire, group)
    if catalogue.single_copy(group, sex):
        giver = from_dam if sex == "M" else from_sire
        return {(haplotype,): chance for haplotype, chance in giver.items()}
    zygotes: dict[Diplotype, Fraction] = {}
    for (one, p), (other, q) in product(from_dam.items(), from_sire.items()):
        pair = (one, other) if one <= other else (other, one)
        zygotes[pair] = zygotes.get(pair, Fraction(0)) + p * q
    return zygotes


def pooled_gametes(parent: Weights, group: LinkageGroup) -> dict[Haplotype, Fraction]:
    """Gametes of a parent known in probability; right for one young, while littermates share the one parent."""
    pooled: dict[Haplotype, Fraction] = {}
    for diplotype, weight in parent.items():
        for haplotype, chance in gametes(diplotype, group).items():
            pooled[haplotype] = pooled.get(haplotype, Fraction(0)) + weight * chance
    return pooled


def group_looks(
    group: LinkageGroup, weights: Weights, wanted: set[str] | None = None
) -> dict[tuple[tuple[str, Appearance], ...], GroupLook]:
    """The looks of one group, keyed by ((locus, appearance), …), with what hides behind each."""
    kept = [(i, locus) for i, locus in enumerate(group.loci) if wanted is None or locus.name in wanted]
    members: dict[tuple[tuple[str, Appearance], ...], dict[Diplotype, Fraction]] = {}
    for diplotype, weight in weights.items():
        key = tuple((locus.name, locus.appearance(genotype(diplotype, i))) for i, locus in kept)
        members.setdefault(key, {})[diplotype] = weight
    return {key: _group_look(kept, own) for key, own in members.items()}


def _group_look(kept: list[tuple[int, Locus]], members: Mapping[Diplotype, Fraction]) -> GroupLook:
    total = sum(members.values(), Fraction(0))
    shows: list[Shown] = []
    carries: list[Carried] = []
    for position, locus in kept:
        at_locus: dict[Genotype, Fraction] = {}
        for diplotype, weight in members.items():
            own = genotype(diplotype, position)
            at_locus[own] = at_locus.get(own, Fraction(0)) + weight / total
        shown, hidden = look_statement(locus, at_locus)
        shows += shown
        carries += hidden
    return GroupLook(total, tuple(shows), tuple(carries))


def look_statement(locus: Locus, weights: Mapping[Genotype, Fraction]) -> tuple[list[Shown], list[Carried]]:
    """What may be written of animals that look alike at a locus and whose genotypes have these odds (sum 1).

    A gene is shown with its copies where they are certain; what does not show is carried with its probability.
    """
    look = locus.appearance(next(iter(weights)))
    shows, carries = [], []
    for allele, gene in enumerate(locus.genes, start=1):
        copies = {own.count(allele) for own in weights}
        if gene.name in look or gene.super_name in look:
            shows.append(Shown(gene.name, copies.pop() if len(copies) == 1 else None))
            continue
        chance = sum((weight for own, weight in weights.items() if allele in own), Fraction(0))
        if chance:
            carries.append(Carried(gene.name, chance))
    return shows, carries

