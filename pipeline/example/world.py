"""A small world in which the truth is known: animals with real genotypes, and the rows their keeper writes of them."""

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from fractions import Fraction
from random import Random
from typing import Any

from pipeline.example.genes import RECORDED, TRUTH
from pipeline.genetics.crosses import Diplotype, Parent, cross, gametes, genotype, parent_from
from pipeline.genetics.genes import Genotype, Sex
from pipeline.genetics.labels import read_label, write_label
from pipeline.genetics.statements import Shown, Statement

Row = dict[str, Any]


@dataclass(frozen=True)
class Hatchling:
    """One young with its real genotype; `look` is what an honest keeper writes of it."""

    sex: Sex
    diplotypes: tuple[Diplotype, ...]
    look: str
    genotypes: Mapping[str, Genotype]


@dataclass
class Litter:
    """The young of one clutch that are not yet kept."""

    pairing: str
    clutch: int
    born: date
    dam: str
    sire: str
    young: list[Hatchling]


@dataclass
class World:
    """Animals, pairings and hatch rows of one species, written as the keeper would, grown from known genotypes."""

    species: str
    prefix: str
    rng: Random
    season_days: tuple[tuple[int, int], tuple[int, int], int]
    """(month, day) of pairing, (month, day) of ovulation or laying, days to young."""
    animals: list[Row] = field(default_factory=list)
    pairings: list[Row] = field(default_factory=list)
    hatch: list[Row] = field(default_factory=list)
    parents: dict[str, Parent] = field(default_factory=dict)
    litters: list[Litter] = field(default_factory=list)

    def aside(self) -> "World":
        """The same world with random numbers of its own, so that what is added leaves everything else as it was."""
        return replace(self, rng=Random(len(self.litters)))

    def founder(self, sex: Sex, born: int, label: str, truth: str | None = None, **more: object) -> str:
        """An animal bought in: its written label, and its real genes where they differ."""
        new_id = f"{self.prefix}{len(self.animals) + 1:02d}"
        self.parents[new_id] = self.real(sex, truth or label)
        self._animal(new_id, sex, born, label, **{"Label basis": "seller", **more})
        return new_id

    def real(self, sex: Sex, label: str) -> Parent:
        """A parent of certain genotype: of a dominant gene that the label shows, one copy."""
        truth = TRUTH[self.species]
        statement = read_label(label, truth)
        single = replace(
            statement,
            shows=tuple(
                Shown(s.gene, 1)
                if s.copies is None and truth.by_name[s.gene].inheritance == "dominant"
                else s
                for s in statement.shows
            ),
        )
        weights = parent_from(single, sex, truth).groups
        return Parent(sex, tuple({min(group): Fraction(1)} for group in weights))

    def litter(
        self,
        dam: str,
        sire: str,
        season: int,
        young: int,
        *,
        true_sire: Parent | None = None,
        alone: bool = False,
        survives: Callable[[Hatchling, Random], bool] = lambda hatchling, rng: True,
        other_sires: tuple[str, ...] = (),
    ) -> Litter:
        """A pairing of the season with its young; `true_sire` fathers them in secret, `alone` has no father at all."""
        pairing = f"{self.prefix}{season % 100:02d}-{1 + sum(p['Season'] == season for p in self.pairings)}"
        paired, laid, days = self.season_days
        start = date(season, *paired) + timedelta(days=self.rng.randrange(20))
        laid_on = date(season, *laid) + timedelta(days=self.rng.randrange(18))
        born = laid_on + timedelta(days=days + self.rng.randrange(-4, 5))
        self.pairings.append(
            {
                "Pairing": pairing, "Season": season, "Dam": dam, "Sire": sire,
                "Other sires": "; ".join(other_sires) or None, "First paired": start,
                "Last paired": start + timedelta(days=30), "Ovulated or laid": laid_on,
            }
        )  # fmt: skip
        father = true_sire or self.parents[sire]
        born_all = [
            self._alone(dam) if alone else self._child(self.parents[dam], father) for _ in range(young)
        ]
        alive = [hatchling for hatchling in born_all if survives(hatchling, self.rng)]
        result = Litter(pairing, 1, born, dam, sire, alive)
        self._losses(result, young - len(alive))
        self.litters.append(result)
        return result

    def keep(self, litter: Litter, sex: Sex, truth: str, label: str, **more: object) -> str:
        """Hold back a young of that sex and real label; the keeper writes `label` on it."""
        wanted = self._genotypes(self.real(sex, truth))
        match = next((h for h in litter.young if h.sex == sex and h.genotypes == wanted), None)
        if match is None:
            raise LookupError(f"no young of {litter.pairing} is a {truth} of sex {sex}")
        litter.young.remove(match)
        new_id = f"{self.prefix}{len(self.animals) + 1:02d}"
        self.parents[new_id] = Parent(sex, tuple({diplotype: Fraction(1)} for diplotype in match.diplotypes))
        self._animal(new_id, sex, litter.born, label, Sire=litter.sire, Dam=litter.dam, **more)
        self._hatched(litter, match.look, sex, 1, Animal=new_id)
        return new_id

    def finish(self, *, sexed: bool) -> None:
        """Write the tallies of all young not kept."""
        for litter in self.litters:
            counts = Counter((h.look, h.sex if sexed else None) for h in litter.young)
            for (look, sex), count in sorted(counts.items(), key=lambda item: (item[0][0], item[0][1] or "")):
                self._hatched(litter, look, sex, count)

    def _animal(self, new_id: str, sex: Sex, born: object, label: str, **more: object) -> None:
        self.animals.append(
            {"ID": new_id, "Species": self.species, "Sex": sex, "Born": born, "Genes": label, **more}
        )

    def _hatched(self, litter: Litter, look: str | None, sex: str | None, count: int, **more: object) -> None:
        self.hatch.append(
            {
                "Pairing": litter.pairing, "Clutch": litter.clutch, "Date": litter.born, "Genes": look, "Sex": sex,
                "Count": count, **more,
            }
        )  # fmt: skip

    def _losses(self, litter: Litter, died: int) -> None:
        if died:
            self._hatched(litter, None, None, died, Outcome="died in egg", Notes="not looked at")
        if slugs := self.rng.randrange(3):
            self._hatched(litter, None, None, slugs, Outcome="slug")

    def _child(self, dam: Parent, sire: Parent) -> Hatchling:
        expected = cross(dam, sire, TRUTH[self.species])
        sex: Sex = self.rng.choices(list(expected.sexes), [float(w) for w in expected.sexes.values()])[0]
        picked = tuple(
            self.rng.choices(list(group), [float(w) for w in group.values()])[0]
            for group in expected.young[sex]
        )
        return self._hatchling(sex, picked)

    def _alone(self, dam: str) -> Hatchling:
        """Young without a father: one strand doubled at every place, always female."""
        strands = []
        for group, weights in zip(TRUTH[self.species].groups, self.parents[dam].groups, strict=True):
            options = gametes(next(iter(weights)), group)
            strand = self.rng.choices(list(options), [float(w) for w in options.values()])[0]
            strands.append((strand, strand))
        return self._hatchling("F", tuple(strands))

    def _hatchling(self, sex: Sex, diplotypes: tuple[Diplotype, ...]) -> Hatchling:
        own = self._genotypes(Parent(sex, tuple({d: Fraction(1)} for d in diplotypes)))
        truth = TRUTH[self.species]
        shows: list[Shown] = []
        for locus in truth.loci:
            look = locus.appearance(own[locus.name])
            for gene in locus.genes:
                if gene.super_name in look and gene.inheritance == "incomplete dominant":
                    shows.append(Shown(gene.name, 2))
                elif gene.name in look:
                    shows.append(Shown(gene.name))
        return Hatchling(sex, diplotypes, write_label(Statement(tuple(shows)), RECORDED[self.species]), own)

    def _genotypes(self, parent: Parent) -> dict[str, Genotype]:
        return {
            locus.name: genotype(next(iter(weights)), position)
            for group, weights in zip(TRUTH[self.species].groups, parent.groups, strict=True)
            for position, locus in enumerate(group.loci)
        }
