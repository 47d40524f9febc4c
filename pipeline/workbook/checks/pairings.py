"""The Pairings sheet: a female and males of one species, born in time, and dates in order."""

from __future__ import annotations

from datetime import date

from pipeline.genetics.collection import GONE
from pipeline.workbook.checks.animals import animals_by_id, born
from pipeline.workbook.checks.inspection import Inspection, Row
from pipeline.workbook.checks.references import Directory, needs_sheet, resolve_id, unknown_hint
from pipeline.workbook.checks.spans import (
    MONTH,
    Span,
    days_after,
    in_words,
    most_days_between,
    span,
    surely_before,
)
from pipeline.workbook.checks.wording import listed

_GRACE_DAYS = 92
"""Animals are put together up to a season's quarter before it begins without anyone calling it another season."""
_WRONG = {"dam": ("M", "male"), "sire": ("F", "female")}


def check_pair_references(inspection: Inspection, known: Directory) -> None:
    """Leave out pairings whose dam or sire is not on the Animals sheet."""
    if not needs_sheet(inspection, "pairings", "animals"):
        return
    for row in inspection.rows("pairings"):
        _check_references(inspection, row, known)
    inspection.settle("pairings")


def check_pairs(inspection: Inspection, known: Directory, season_starts: int) -> None:
    """Leave out pairs that can't be; doubt the rest where dates, ages or other sires don't agree."""
    animals = animals_by_id(inspection)
    for row in inspection.rows("pairings"):
        if _check_pair(inspection, row, animals[row.dam], animals[row.sire]):
            _check_other_sires(inspection, row, animals, known)
            _check_dates(inspection, row, season_starts)
            _check_ages(inspection, row, animals)
    inspection.settle("pairings")
    _check_roles(inspection, animals)


def paired_from(pairing: Row) -> Span | None:
    """When the pair was first together: the first day or year known of it."""
    for field in ("first_paired", "last_paired", "ovulated_or_laid"):
        known = span(getattr(pairing, field), getattr(pairing, f"{field}_year"))
        if known:
            return known
    return None


def other_sires(pairing: Row) -> list[str]:
    """IDs of the other males of a pairing, as typed."""
    return [part.strip() for part in (pairing.other_sires or "").split(";") if part.strip()]


def _check_references(inspection: Inspection, row: Row, known: Directory) -> None:
    for parent in ("dam", "sire"):
        text = getattr(row, parent)
        if text is None:
            inspection.error(
                row,
                parent,
                f"Pairing {row.pairing} has no {parent}; the row is left out.",
                f"Write the ID of the {parent}.",
            )
        elif not resolve_id(inspection, row, parent, known):
            inspection.error(
                row,
                parent,
                f"The {parent} of pairing {row.pairing}, '{text}', is not on the Animals sheet; the row is left out.",
                unknown_hint(inspection, text, known, "animals"),
            )


def _check_pair(inspection: Inspection, row: Row, dam: Row, sire: Row) -> bool:
    """Whether the two can be a pair; the error says which rule they break."""
    name, end = f"Pairing {row.pairing}", "the row is left out."
    if dam.id == sire.id:
        inspection.error(
            row, "sire", f"{name} names {dam.id} as dam and as sire; {end}", "Correct one of the two."
        )
    elif dam.sex == "M" and sire.sex == "F":
        inspection.error(
            row,
            "dam",
            f"{name} has dam and sire the wrong way round: {dam.id} is male, {sire.id} is female; {end}",
            "Swap the two.",
        )
    elif dam.species != sire.species:
        inspection.error(
            row,
            "sire",
            f"{name} joins two species: {dam.id} is a {dam.species}, {sire.id} a {sire.species}; {end}",
            "Correct the ID of one, or its species on the Animals sheet.",
        )
    else:
        for parent, animal in (("dam", dam), ("sire", sire)):
            letter, word = _WRONG[parent]
            if animal.sex == letter:
                inspection.error(
                    row,
                    parent,
                    f"The {parent} of pairing {row.pairing}, {animal.id}, is recorded as {word} (Animals, row {animal.row}); {end}",
                    f"Correct the ID here, or the sex of {animal.id}.",
                )
                return False
        return True
    return False


def _check_other_sires(inspection: Inspection, row: Row, animals: dict[str, Row], known: Directory) -> None:
    typed = other_sires(row)
    kept: list[str] = []
    for text in typed:
        male = animals.get(known.find(text) or "")
        fault = _no_other_sire(row, text, male, kept, animals[row.dam].species)
        if male is None or fault:
            hint = (
                unknown_hint(inspection, text, known, "animals")
                if male is None
                else "Remove it here, or correct the ID."
            )
            inspection.warning(
                row,
                "other_sires",
                f"'{text}' can't be another sire of pairing {row.pairing}: {fault}; it is not counted.",
                hint,
            )
        else:
            kept.append(male.id)
    if kept != typed:
        inspection.replace(row, "other_sires", "; ".join(kept) or None)


def _no_other_sire(row: Row, text: str, male: Row | None, kept: list[str], species: str) -> str | None:
    if male is None:
        return "it is not on the Animals sheet"
    if male.sex == "F":
        return f"it is recorded as female (Animals, row {male.row})"
    if male.species != species:
        return f"it is a {male.species}"
    if male.id == row.dam:
        return "it is the dam"
    if male.id == row.sire or male.id in kept:
        return "it is named already"
    return None


def _check_dates(inspection: Inspection, row: Row, season_starts: int) -> None:
    first, last, laid = (
        span(getattr(row, f), getattr(row, f"{f}_year"))
        for f in ("first_paired", "last_paired", "ovulated_or_laid")
    )
    name = f"Pairing {row.pairing}"
    if surely_before(last, first):
        inspection.warning(
            row,
            "last_paired",
            f"{name} ends before it begins: last paired {in_words(last)}, first paired {in_words(first)}.",
            "Correct one of the two dates.",
        )
    if surely_before(laid, first):
        inspection.warning(
            row,
            "ovulated_or_laid",
            f"{name} ovulated or laid before the pair was first together ({in_words(first)}).",
            "Correct one of the two dates.",
        )
    begun = paired_from(row)
    window = _season(row.season, season_starts)
    if begun and (begun.last < window.first or begun.first > window.last):
        inspection.warning(
            row,
            "season",
            f"{name} counts for the season {row.season}, but the pair was together {in_words(begun)}.",
            "Correct the season or the date, or the setting 'Season starts (month)'.",
        )


def _season(year: int, starts: int) -> Span:
    """The days that can belong to a season. One that starts after January may be named for the year it starts or ends in."""
    first = date(year if starts == 1 else year - 1, starts, 1)
    return Span(days_after(first, -_GRACE_DAYS), days_after(date(year + 1, starts, 1), -1))


def _check_ages(inspection: Inspection, row: Row, animals: dict[str, Row]) -> None:
    begun = paired_from(row) or Span(date(row.season, 1, 1), date(row.season, 12, 31))
    species = {entry.species: entry for entry in inspection.rows("species")}.get(animals[row.dam].species)
    for parent, word in (("dam", "female"), ("sire", "male")):
        animal = animals[getattr(row, parent)]
        hatched = born(animal)
        months = getattr(species, f"{word}_breeding_age", None)
        if surely_before(begun, hatched):
            inspection.warning(
                row,
                parent,
                f"The {parent} of pairing {row.pairing}, {animal.id}, was not yet born: born {in_words(hatched)}.",
                "Correct the ID, its birth date, or the dates of the pairing.",
            )
        elif hatched and months and most_days_between(hatched, begun) < months * MONTH:
            age = most_days_between(hatched, begun) / MONTH
            inspection.warning(
                row,
                parent,
                f"The {parent} of pairing {row.pairing}, {animal.id}, was at most {age:.0f} months old; the Species sheet breeds {word}s from {months:g}.",
                "Check the ID and the birth date; breeding too young harms a female.",
            )
        if animal.status in GONE and begun.first > inspection.as_of:
            inspection.warning(
                row,
                parent,
                f"The {parent} of pairing {row.pairing}, {animal.id}, is recorded as '{animal.status}', yet the pairing is still to come.",
                "Correct the status or the pairing.",
            )


def _check_roles(inspection: Inspection, animals: dict[str, Row]) -> None:
    """An animal whose sex nobody recorded, dam here and sire there."""
    dams: dict[str, list[Row]] = {}
    for row in inspection.rows("pairings"):
        dams.setdefault(row.dam, []).append(row)
    for row in inspection.rows("pairings"):
        for male in [row.sire, *other_sires(row)]:
            if male in dams:
                inspection.warning(
                    row,
                    "sire" if male == row.sire else "other_sires",
                    f"{male} is a sire in pairing {row.pairing} and the dam of {listed([other.pairing for other in dams[male]])}.",
                    f"Correct one of the IDs, and fill the sex of {male} on the Animals sheet.",
                )
