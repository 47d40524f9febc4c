"""Rows of the simpler lists: weighings, prices, genes, morph names, species, goals, settings."""

from collections.abc import Iterable

from pipeline.workbook.bringing.animals import Identities
from pipeline.workbook.bringing.records import Gathered, OldRow
from pipeline.workbook.bringing.wording import words_of
from pipeline.workbook.sheets import sheet

_NEEDED = {
    "Weights": frozenset({"Animal", "Weight", "Length"}),
    "Prices": frozenset({"Price", "Genes"}),
    "Genes": frozenset({"Gene"}),
    "Morph names": frozenset({"Name", "Genes"}),
    "Species": frozenset({"Species"}),
    "Goals": frozenset({"Goal", "Genes"}),
    "Settings": frozenset({"Setting"}),
}
"""A row without any of these is no record."""


def add_others(
    topic: str, rows: Iterable[OldRow], identities: Identities, gathered: Gathered, species: str
) -> None:
    """Put down the records of a table about that topic; rows that are none are left over."""
    has_species = any(column.name == "Species" for column in sheet(topic).columns)
    for row in rows:
        base = row.part(topic)
        records = [
            base | dict(given) | part for (name, given), part in row.parts.items() if name == topic and given
        ]
        if not records or {"Weight", "Length", "Price"} & base.keys():
            records.append(base)
        if not _NEEDED[topic] & base.keys() or (topic == "Settings" and _is_there(base, gathered)):
            gathered.leave(row)
            continue
        for record in records:
            if "Animal" in record:
                record["Animal"] = identities.meant(record["Animal"], gathered)
            if has_species and species:
                record.setdefault("Species", species)
            gathered.add(topic, record)
        gathered.note(row, records[0], topic)


def _is_there(base: dict[str, object], gathered: Gathered) -> bool:
    there = gathered.records.get("Settings", ())
    return any(words_of(record["Setting"]) == words_of(base["Setting"]) for record in there)
