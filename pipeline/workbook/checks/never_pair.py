"""The line 'Never pair' of the sheet Settings: pairs of animals that are there."""

from __future__ import annotations

from pipeline.genetics.ruled_out import Unread, ruled_out
from pipeline.workbook.checks.inspection import Inspection
from pipeline.workbook.settings import find_setting
from pipeline.workbook.words import nearest


def check_never_pair(inspection: Inspection) -> None:
    """Warn of each part that is no pair of two animals; the other parts count."""
    names = [row.id for row in inspection.rows("animals")]
    for row in inspection.rows("settings"):
        setting = find_setting(row.setting)
        if setting is not None and setting.name == "Never pair" and row.value:
            for part in ruled_out(row.value, names)[1]:
                inspection.warning(row, "value", part.message, _hint(part, names))


def _hint(part: Unread, names: list[str]) -> str:
    if not part.strange:
        return ""
    near = nearest(part.strange[0], names)
    return f"Did you mean '{near}'?" if near else "Write the IDs as on the Animals sheet."
