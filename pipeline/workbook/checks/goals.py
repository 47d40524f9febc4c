"""The Goals sheet: labels that can be aimed at."""

from __future__ import annotations

from pipeline.workbook.checks.inspection import Inspection
from pipeline.workbook.checks.labels import Labels, check_labels


def check_goals(inspection: Inspection, labels: Labels) -> None:
    """Leave out goals whose label can't be read."""
    for row in inspection.rows("goals"):
        check_labels(inspection, labels, row, row.species, f"Goal '{row.goal}'")
    inspection.settle("goals")
