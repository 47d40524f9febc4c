"""Who descends from whom: parents that can't be are cut off, so that what is left is a pedigree."""

from __future__ import annotations

from dataclasses import dataclass

from pipeline.genetics.pedigree import loops
from pipeline.workbook.checks.animals import animals_by_id, born
from pipeline.workbook.checks.inspection import Inspection, Row
from pipeline.workbook.checks.pairings import other_sires
from pipeline.workbook.checks.spans import in_words, most_days_between, not_before
from pipeline.workbook.checks.wording import listed

YOUNGEST_PARENT_DAYS = 183
"""Half a year: no boa, python or colubrid breeds younger (common practice, no source)."""
_ROLES = (("sire", "M", "female", "F"), ("dam", "F", "male", "M"))


@dataclass
class Parents:
    """The recorded parents of one animal, and the hatch row they were taken from where its own row names none."""

    sire: str | None
    dam: str | None
    adopted_from: Row | None = None


def check_pedigree(inspection: Inspection, parents: dict[str, Parents]) -> None:
    """Report and cut, in `parents` and in the Animals table, every link of parent and young that can't be."""
    animals = animals_by_id(inspection)
    _check_loops(inspection, animals, parents)
    for animal in animals.values():
        own = parents[animal.id]
        if own.sire is not None and own.sire == own.dam:
            _cut(
                inspection,
                animal,
                own,
                "sire",
                f"Animal {animal.id} has {own.sire} as its sire and its dam; neither counts as recorded.",
                "Correct one of the two.",
            )
            _void(inspection, animal, own, "dam")
        for role in _ROLES:
            parent = animals.get(getattr(own, role[0]) or "")
            if parent is not None:
                _check_parent(inspection, animal, parent, own, role)
    inspection.settle("animals")


def _check_loops(inspection: Inspection, animals: dict[str, Row], parents: dict[str, Parents]) -> None:
    """Cut the links of every loop: those that birth dates rule out where there are any, else all of them.

    Cutting one set of loops may leave others that shared their animals, hence the repetition.
    """
    while found := loops({name: (own.sire, own.dam) for name, own in parents.items()}):
        for ring in found:
            links = [
                (name, role)
                for name in ring
                for role in ("sire", "dam")
                if getattr(parents[name], role) in ring
            ]
            ruled_out = [link for link in links if _ruled_out(animals, parents, *link)]
            for name, role in ruled_out or links:
                _cut_from_loop(inspection, animals[name], parents[name], role, " → ".join([*ring, ring[0]]))


def _ruled_out(animals: dict[str, Row], parents: dict[str, Parents], name: str, role: str) -> bool:
    old, young = born(animals[getattr(parents[name], role)]), born(animals[name])
    return old is not None and young is not None and not_before(old, young)


def _cut_from_loop(inspection: Inspection, animal: Row, own: Parents, role: str, shown: str) -> None:
    _cut(
        inspection,
        animal,
        own,
        role,
        f"Animal {animal.id} is among its own ancestors: {shown}; the {role} of {animal.id} counts as not recorded.",
        "Find the one row of the circle whose parent is wrong and correct it.",
    )


def _check_parent(
    inspection: Inspection, animal: Row, parent: Row, own: Parents, role: tuple[str, str, str, str]
) -> None:
    column, _, wrong_sex, wrong_letter = role
    other = "dam" if column == "sire" else "sire"
    end = f"the {column} counts as not recorded."
    if parent.species != animal.species:
        _cut(
            inspection,
            animal,
            own,
            column,
            f"Animal {animal.id} is a {animal.species}, but its {column} {parent.id} (row {parent.row}) is a {parent.species}; {end}",
            "Correct the ID, or the species of one of them.",
        )
    elif parent.sex == wrong_letter:
        _cut(
            inspection,
            animal,
            own,
            column,
            f"The {column} of animal {animal.id}, {parent.id}, is recorded as {wrong_sex} (row {parent.row}); {end}",
            f"Correct the sex of {parent.id}, or move it to the column {other.capitalize()}.",
        )
    else:
        _check_ages(inspection, animal, parent, own, column)


def _check_ages(inspection: Inspection, animal: Row, parent: Row, own: Parents, column: str) -> None:
    young, old = born(animal), born(parent)
    if young is None or old is None:
        return
    dates = f"{parent.id} was born {in_words(old)}, {animal.id} {in_words(young)}"
    if not_before(old, young):
        _cut(
            inspection,
            animal,
            own,
            column,
            f"The {column} of animal {animal.id}, {parent.id}, is younger than its young: {dates}; the {column} counts as not recorded.",
            "Correct one of the two dates, or the parent.",
        )
    elif most_days_between(old, young) < YOUNGEST_PARENT_DAYS:
        inspection.warning(
            animal if own.adopted_from is None else own.adopted_from,
            column if own.adopted_from is None else "animal",
            f"The {column} of animal {animal.id}, {parent.id}, is less than six months older: {dates}.",
            "Correct one of the two dates, or the parent.",
        )


def _cut(inspection: Inspection, animal: Row, own: Parents, column: str, message: str, hint: str) -> None:
    """Report at the cell that says so: the animal's own row, or the hatch row its parents were taken from."""
    if own.adopted_from is None:
        inspection.error(animal, column, message, hint, keep_row=True)
    else:
        inspection.error(
            own.adopted_from,
            "animal",
            f"{message[:-1]} (taken from pairing {own.adopted_from.pairing}).",
            hint,
            keep_row=True,
        )
    _void(inspection, animal, own, column)


def _void(inspection: Inspection, animal: Row, own: Parents, column: str) -> None:
    setattr(own, column, None)
    if own.adopted_from is None:
        inspection.replace(animal, column, None)


def adopted_parents(inspection: Inspection) -> dict[str, Parents]:
    """Parents of every animal; those that its own row leaves blank are taken from the pairing its hatch row names."""
    animals = animals_by_id(inspection)
    pairings = {row.pairing: row for row in inspection.rows("pairings")}
    parents = {name: Parents(row.sire, row.dam) for name, row in animals.items()}
    adopted: dict[str, list[Row]] = {}
    for row in inspection.rows("hatch_results"):
        if row.animal is None:
            continue
        own, pairing = animals[row.animal], pairings[row.pairing]
        if own.sire is None and own.dam is None:
            parents[row.animal] = Parents(pairing.sire, pairing.dam, row)
            adopted.setdefault(row.pairing, []).append(row)
        elif own.sire is None or own.dam is None:
            _fill_half(inspection, own, parents[row.animal], pairing)
    for pairing, rows in adopted.items():
        inspection.note(
            rows[0],
            "animal",
            f"The Animals sheet names no parents for {listed([row.animal for row in rows])}; they are taken from pairing {pairing}, {pairings[pairing].dam} and {pairings[pairing].sire}.",
            "Fill Sire and Dam on the Animals sheet to see them there.",
        )
    return parents


def _fill_half(inspection: Inspection, animal: Row, own: Parents, pairing: Row) -> None:
    """One parent recorded and the other blank: the pairing gives the other, where the recorded one is of that pairing."""
    sires = {pairing.sire, *other_sires(pairing)}
    if own.sire is None and own.dam == pairing.dam:
        missing, found = "sire", pairing.sire
    elif own.dam is None and own.sire in sires:
        missing, found = "dam", pairing.dam
    else:
        return
    setattr(own, missing, found)
    inspection.note(
        animal,
        missing,
        f"The {missing} of animal {animal.id} is blank; {found} is taken from pairing {pairing.pairing}.",
        f"Write {found} here if that is right.",
    )
