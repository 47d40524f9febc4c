"""Weights against the breeding weights of the species: a column in another unit than its header says."""

from __future__ import annotations

from pipeline.workbook.checks.inspection import Inspection, Row

_FAR_ABOVE, _FAR_BELOW = 50, 150
"""A breeding animal of any species weighs less than so many times its breeding weight; the young of the largest
constrictors hatch at more than one 150th of it (common practice, no source)."""
_FEWEST = 3
_BREEDING = ("female_breeding_weight", "male_breeding_weight")


def check_units(inspection: Inspection) -> None:
    """Doubt breeding weights that the weighings of the species are nowhere near."""
    if not (inspection.has("weights") and inspection.has("animals")):
        return
    species = {row.id: row.species for row in inspection.rows("animals")}
    frame = inspection.tables["weights"]
    weighed = frame[frame["weight"].notna()].assign(species=lambda rows: rows["animal"].map(species))
    found = weighed.groupby("species")["weight"].agg(["max", "size"])
    for row in inspection.rows("species"):
        if row.species in found.index and found.at[row.species, "size"] >= _FEWEST:
            _compare(inspection, row, float(found.at[row.species, "max"]))


def _compare(inspection: Inspection, row: Row, heaviest: float) -> None:
    for column in _BREEDING:
        needed = getattr(row, column)
        if not needed:
            continue
        said = f"The breeding weight of {row.species}, {needed:g} g, is far {{}} its heaviest weighing, {heaviest:g} g."
        if heaviest > _FAR_ABOVE * needed:
            inspection.warning(
                row,
                column,
                said.format("below"),
                "If it is meant in kilograms, write the unit with it, such as 2.5 kg.",
            )
        elif heaviest * _FAR_BELOW < needed:
            inspection.warning(
                row,
                column,
                said.format("above"),
                "If the weights are in kilograms, say so in their header: 'Weight (kg)'.",
            )
            return
