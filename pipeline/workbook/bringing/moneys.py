"""The currency that a list's money is in, so that the new book can say it once."""

from collections.abc import Iterator, Sequence

from pipeline.workbook.bringing.records import Gathered
from pipeline.workbook.bringing.topics import Matched
from pipeline.workbook.bringing.wording import unit_of, words_of
from pipeline.workbook.cells import CellFault
from pipeline.workbook.headers import MONEY
from pipeline.workbook.money import price

_SETTING = "Currency"


def settle_currency(tables: Sequence[Matched], gathered: Gathered) -> None:
    """Put the one currency that the list's money names on Settings, unless it says there its own."""
    settings = gathered.records.get("Settings", ())
    if any(words_of(row.get("Setting", "")).casefold() == _SETTING.casefold() for row in settings):
        return
    named = set(_named(tables))
    if len(named) == 1 and (one := named.pop()):
        gathered.add("Settings", {"Setting": _SETTING, "Value": one})
        gathered.sayings[
            f"all money that names a currency is in {one}, so Settings has {one} for the book"
        ] = 1


def _named(tables: Sequence[Matched]) -> Iterator[str]:
    for table in tables:
        for placing in table.placings:
            if placing.target is None or placing.target.registered.field not in MONEY:
                continue
            header = table.tab.headers[placing.position]
            if isinstance(header, str) and (unit := unit_of(header, placing.target.registered)):
                yield unit
            for value in table.tab.filled(placing.position):
                if stated := _stated(value):
                    yield stated


def _stated(value: object) -> str | None:
    try:
        found = price(value)
    except CellFault:
        return None
    return found[1] if found else None
