"""The animals that a test can be bred from, and which of them go together."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product

from pipeline.findings.suspicions.counts import named
from pipeline.findings.suspicions.explain import Case
from pipeline.genetics.collection import GONE, Animal
from pipeline.genetics.pedigree import Pedigree

OTHER_SEX = {"F": "M", "M": "F"}
LOOKED_AT = 12
"""Animals of each sex, the ready ones first, among whom a pair is looked for."""


@dataclass(frozen=True)
class Stable:
    """Animals that can be bred. `ready` are IDs known to be ready for a season, `most_kin` the inbreeding allowed."""

    animals: dict[str, Animal]
    ready: frozenset[str]
    most_kin: float = 1.0

    @cached_property
    def pedigree(self) -> Pedigree:
        """Of these animals, by the parents as recorded."""
        return Pedigree({animal.id: (animal.sire, animal.dam) for animal in self.animals.values()})

    def close(self, one: str, other: str) -> bool:
        """Whether their young would be inbred beyond what is allowed: no test is worth such young."""
        return self.pedigree.kinship([(one, other)])[one, other] > self.most_kin

    def mate_of(self, animal: Animal, mates: Iterable[Animal]) -> Animal | None:
        """The first that is no close kin of the animal."""
        return next((mate for mate in mates if not self.close(animal.id, mate.id)), None)

    def pairs(
        self, choices: Iterable[tuple[Sequence[Animal], Sequence[Animal]]]
    ) -> list[tuple[Animal, Animal]]:
        """Females and males that are no close kin, ready ones first."""
        found = [
            pair
            for females, males in choices
            for pair in product(females[:LOOKED_AT], males[:LOOKED_AT])
            if pair[0].id != pair[1].id
        ]
        kin = self.pedigree.kinship((female.id, male.id) for female, male in found)
        apart = [(f, m) for f, m in found if kin[f.id, m.id] <= self.most_kin]
        return sorted(apart, key=lambda pair: sum(animal.id not in self.ready for animal in pair))

    def mates(self, species: str, sex: str | None, showing: Iterable[str], not_id: str = "") -> list[Animal]:
        """Animals of a species and sex that show every gene, ready ones first."""
        wanted = set(showing)
        found = [
            a
            for a in self.animals.values()
            if a.species == species
            and a.status not in GONE
            and a.id != not_id
            and (sex is None or a.sex == sex)
            and a.label
            and wanted <= {s.gene for s in a.label.shows}
        ]
        return sorted(found, key=lambda a: (a.id not in self.ready, a.id))

    def plain(self, species: str, sex: str, gene: str) -> list[Animal]:
        """Animals whose labels neither show nor carry a gene, ready ones first, of them those labelled 'not' it first."""
        found = [
            (animal.id not in self.ready, gene not in label.lacks, animal.id)
            for animal in self.animals.values()
            if (label := animal.label)
            and animal.species == species
            and animal.sex == sex
            and animal.status not in GONE
            and gene not in label.genes() - set(label.lacks)
        ]
        return [self.animals[name] for *_, name in sorted(found)]

    def plain_mate(self, animal: Animal, gene: str) -> Animal | None:
        """The first mate without a gene that is no close kin of the animal; None where its sex is unknown."""
        sex = OTHER_SEX.get(animal.sex or "")
        return self.mate_of(animal, self.plain(animal.species, sex, gene)) if sex else None

    def worded(self, animal: Animal, case: Case) -> str:
        """'B01 (Anery; ready)'."""
        words = named(animal, case.catalogue)
        return f"{words[:-1]}; ready)" if animal.id in self.ready else words
