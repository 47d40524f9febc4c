"""Rows of an old list as records of ours, with what found no place beside them."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from pipeline.workbook.bringing.carrying import Carrier, Order
from pipeline.workbook.bringing.matching import Placing
from pipeline.workbook.bringing.tabs import OldTab
from pipeline.workbook.bringing.targets import Given, Target
from pipeline.workbook.bringing.topics import Matched
from pipeline.workbook.bringing.wording import unit_of, words_of
from pipeline.workbook.sheets import SETTINGS, SETTINGS_SHEET, sheet

LONGEST_CELL = 32_000
"""Characters: Excel holds 32,767 in a cell, and cuts the rest off without a word."""

_OWN_WORDS = frozenset(setting.meaning for setting in SETTINGS)
"""What the Settings sheet of a book of ours explains; the new book says it again."""

Values = dict[str, object]


@dataclass(frozen=True)
class OldRow:
    """One old row taken apart: carried cells by sheet and what their header settles, and the cells without a place."""

    tab: str
    number: int
    parts: Mapping[tuple[str, Given], Values]
    unplaced: tuple[tuple[str, object], ...]

    def part(self, sheet_name: str, given: Given = ()) -> Values:
        """A copy of what the row says for a sheet; empty where it says nothing."""
        return dict(self.parts.get((sheet_name, given), {}))


@dataclass
class Gathered:
    """What is brought together: records by sheet, rows that go to 'Left over', and what was made up or changed."""

    records: dict[str, list[Values]] = field(default_factory=dict)
    left_over: list[tuple[str, int]] = field(default_factory=list)
    sayings: dict[str, int] = field(default_factory=dict)

    def add(self, sheet_name: str, values: Values) -> Values:
        """Put down a record."""
        self.records.setdefault(sheet_name, []).append(values)
        return values

    def leave(self, row: OldRow) -> None:
        """Keep the row as it stood on 'Left over'."""
        if (row.tab, row.number) not in self.left_over[-1:]:
            self.left_over.append((row.tab, row.number))

    def say(self, sentence: str) -> None:
        """Tell something once, with how often it happened."""
        self.sayings[sentence] = self.sayings.get(sentence, 0) + 1

    def note(
        self, row: OldRow, record: Values | None, sheet_name: str, extra: Sequence[tuple[str, object]] = ()
    ) -> None:
        """Write what the row could not place into the record's Notes as 'Header: value', and keep the row as it stood."""
        unplaced = [*row.unplaced, *extra]
        if not unplaced and record is not None:
            return
        self.leave(row)
        if record is None or "Notes" not in [column.name for column in sheet(sheet_name).columns]:
            return
        told = [f"{header}: {words_of(value)}" for header, value in unplaced]
        notes = "; ".join([*([words_of(record["Notes"])] if record.get("Notes") else []), *told])
        if len(notes) <= LONGEST_CELL:
            record["Notes"] = notes


def old_rows(found: Matched, dates: Order = None) -> Iterator[OldRow]:
    """The rows of a table, from the top, each taken apart by the placings of its columns; `dates` as in `Carrier`."""
    carriers = {p.position: carrier_of(found.tab, p, p.target, dates) for p in found.placings if p.target}
    for number, row in zip(found.tab.numbers, found.tab.rows, strict=True):
        parts: dict[tuple[str, Given], Values] = {}
        unplaced = []
        for placing in found.placings:
            value, target = row[placing.position], placing.target
            if value is None or (found.topic == SETTINGS_SHEET.name and value in _OWN_WORDS):
                continue
            if target is None or len(words_of(value)) > LONGEST_CELL:
                unplaced.append((placing.header, value))
            else:
                part = parts.setdefault((target.sheet, target.given), {})
                part[target.column] = carriers[placing.position].carry(value)
        yield OldRow(found.tab.name, number, parts, tuple(unplaced))


def carrier_of(tab: OldTab, placing: Placing, target: Target, dates: Order = None) -> Carrier:
    """How the cells of a column are carried to its target."""
    column, header = target.registered, tab.headers[placing.position]
    unit = unit_of(header, column) if isinstance(header, str) else ""
    return Carrier(column, unit, tab.values(placing.position), dates)
