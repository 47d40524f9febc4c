"""One wrong cell behind many contradictions: the cell is told and set aside, lest each record it touches fall by itself."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from pipeline.workbook.checks.animals import animals_by_id, born
from pipeline.workbook.checks.inspection import Inspection, Row
from pipeline.workbook.checks.pairings import other_sires
from pipeline.workbook.checks.pedigree import Parents
from pipeline.workbook.checks.spans import in_words, not_before
from pipeline.workbook.checks.wording import listed

_SEVERAL = 2


def doubt_sexes(inspection: Inspection) -> None:
    """A recorded sex that every one of several pairings contradicts counts as not recorded; the pairings stay."""
    dams, sires = _roles(inspection)
    for animal in inspection.rows("animals"):
        if animal.sex is None:
            continue
        against, agreeing = (sires, dams) if animal.sex == "F" else (dams, sires)
        pairings = against.get(animal.id, [])
        if len(pairings) >= _SEVERAL and animal.id not in agreeing:
            sex, role = ("female", "sire") if animal.sex == "F" else ("male", "dam")
            inspection.replace(animal, "sex", None)
            inspection.error(
                animal,
                "sex",
                f"Animal {animal.id} is recorded as {sex}, yet it is the {role} of pairings {listed(pairings)}; its sex counts as not recorded.",
                "Correct the sex here, or the ID in those pairings.",
                keep_row=True,
            )
    inspection.settle("animals")


def doubt_births(inspection: Inspection, parents: Mapping[str, Parents]) -> None:
    """A birth date that several relatives contradict, and none bears out, counts as not recorded; the links stay."""
    animals = animals_by_id(inspection)
    against: dict[str, list[str]] = defaultdict(list)
    agreeing: set[str] = set()
    for animal in animals.values():
        own = parents[animal.id]
        for parent in filter(None, dict.fromkeys((own.dam, own.sire))):
            young, old = born(animal), born(animals[parent]) if parent in animals else None
            if young is None or old is None:
                continue
            if not_before(old, young):
                against[animal.id].append(f"its parent {parent}")
                against[parent].append(f"its young {animal.id}")
            else:
                agreeing |= {animal.id, parent}
    for name, relatives in against.items():
        if len(relatives) >= _SEVERAL and name not in agreeing:
            _set_birth_aside(inspection, animals[name], relatives)
    inspection.settle("animals")


def _set_birth_aside(inspection: Inspection, animal: Row, relatives: list[str]) -> None:
    inspection.replace(animal, "born", None)
    inspection.replace(animal, "born_year", None)
    inspection.error(
        animal,
        "born",
        f"Animal {animal.id} is recorded as born {in_words(born(animal))}, which does not go with {listed(relatives)}; its birth counts as not recorded.",
        "Correct the date here; a parent is older than its young.",
        keep_row=True,
    )


def _roles(inspection: Inspection) -> tuple[dict[str, list[str]], dict[str, list[str]]]:
    """The pairings of each dam and of each sire, other sires included."""
    dams: dict[str, list[str]] = defaultdict(list)
    sires: dict[str, list[str]] = defaultdict(list)
    for row in inspection.rows("pairings"):
        dams[row.dam].append(row.pairing)
        for male in (row.sire, *other_sires(row)):
            sires[male].append(row.pairing)
    return dams, sires
