"""The sheet 'Totals': what the spreadsheet program counts for the keeper while the book grows.

Every formula is written with its value, so that a preview which computes nothing shows the right figures too.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

from openpyxl import Workbook
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.worksheet import Worksheet

from pipeline.workbook import styles
from pipeline.workbook.lists_page import HATCH_ROWS, letters
from pipeline.workbook.sheets import ANIMALS, HATCH_RESULTS, PAIRINGS, SPECIES, TOTALS, Sheet

Records = Mapping[str, Sequence[Mapping[str, object]]]
Line = tuple[tuple[str, object], ...]
"""Cells of a row: each a formula and its value."""

_SEASONS, _KINDS = 8, 12
_BY_SPECIES = ("Species", "Kept", "Males kept", "Females kept", "For sale", "On loan", "Sold", "Died")
_BY_SEASON = ("Season", "Pairings", "Live young", "Stillborn", "Died in egg", "Slugs")
_OUTCOMES = ("live", "stillborn", "died in egg", "slug")
_STATUSES = ("for sale", "on loan", "sold", "died")
_YOUNG = {"Young_outcome": "outcome", "Young_count": "count"}


def write_totals(book: Workbook, records: Records) -> dict[str, object]:
    """Add the sheet after the sheets of records. The values of its formulas, by cell, for whoever saves the book."""
    page = book.create_sheet(TOTALS)
    for name, field in _YOUNG.items():
        place = letters(HATCH_RESULTS, field)
        text = f"'{HATCH_RESULTS.name}'!${place}$2:${place}${HATCH_ROWS}"
        book.defined_names[name] = DefinedName(name, attr_text=text)
    page["A1"], page["A1"].font = "Totals", styles.TITLE
    page.row_dimensions[1].height = 32
    page["A2"] = "Counted by Excel from your sheets; nothing to fill in here."
    page["A2"].font = styles.QUIET
    species = [_species_line(row, records) for row in range(2, _KINDS + 2)]
    stored = _write(page, 4, _BY_SPECIES, species)
    stored |= _write(page, 4 + _KINDS + 2, _BY_SEASON, list(_season_lines(records)))
    for number, width in enumerate((24, *[14] * 7)):
        page.column_dimensions["ABCDEFGH"[number]].width = width
    return stored


def _write(page: Worksheet, top: int, headers: Sequence[str], lines: Iterable[Line]) -> dict[str, object]:
    for number, header in enumerate(headers, start=1):
        cell = page.cell(top, number, header)
        cell.font, cell.fill = styles.OPTIONAL_FONT, styles.OPTIONAL_FILL
        cell.border, cell.alignment = styles.HEADER_BORDER, styles.HEADER_ALIGNMENT
    stored = {}
    for row, line in enumerate(lines, start=top + 1):
        for number, (formula, value) in enumerate(line, start=1):
            cell = page.cell(row, number, formula.replace("ROW_HERE", str(row)))
            cell.alignment = styles.TOP if number == 1 else styles.CENTRED
            stored[cell.coordinate] = value
    return stored


def _whole(sheet: Sheet, field: str) -> str:
    return f"'{sheet.name}'!${letters(sheet, field)}:${letters(sheet, field)}"


def _if_named(formula: str, value: object, name: object) -> tuple[str, object]:
    """A line without a name of its own stays blank."""
    return f'=IF($AROW_HERE="","",{formula})', "" if name == "" else value


def _species_line(row: int, records: Records) -> Line:
    """The species in that row of its sheet, and its animals; a blank Status is 'keeping'."""
    kinds = [record.get("Species") or "" for record in records.get("Species", ())]
    name = kinds[row - 2] if row - 2 < len(kinds) else ""
    own = [animal for animal in records.get("Animals", ()) if name and animal.get("Species") == name]
    status = Counter(animal.get("Status") or "keeping" for animal in own)
    sexes = Counter(animal.get("Sex") for animal in own if (animal.get("Status") or "keeping") == "keeping")
    here = f"INDEX({_whole(SPECIES, 'species')},{row})"
    counted = [
        _if_named(_kept(""), status["keeping"], name),
        *(_if_named(_kept(f',{_whole(ANIMALS, "sex")},"{sex}"'), sexes[sex], name) for sex in "MF"),
        *(_if_named(_with_status(word, ""), status[word], name) for word in _STATUSES),
    ]
    return ((f'=IF({here}="","",{here})', name), *counted)


def _kept(further: str) -> str:
    return f"{_with_status('keeping', further)}+{_with_status('', further)}"


def _with_status(word: str, further: str) -> str:
    """How many animals of the line's species have a status; `further` are more conditions."""
    columns = f'{_whole(ANIMALS, "species")},$AROW_HERE,{_whole(ANIMALS, "status")},"{word}"'
    return f"COUNTIFS({columns}{further})"


def _season_lines(records: Records) -> Iterator[Line]:
    """The latest seasons, the latest first, each with its pairings and young."""
    pairings = records.get("Pairings", ())
    years = [year for record in pairings if isinstance(year := record.get("Season"), int)]
    young = _young(records)
    seasons = _whole(PAIRINGS, "season")
    for back in range(_SEASONS):
        season: int | str = max(years) - back if years and max(years) - back >= min(years) else ""
        latest = f"MAX({seasons})-{back}"
        first = f'=IF(COUNT({seasons})=0,"",IF({latest}<MIN({seasons}),"",{latest}))'
        counted = (_if_named(_young_formula(word), young[season, word], season) for word in _OUTCOMES)
        paired = sum(year == season for year in years)
        yield ((first, season), _if_named(f"COUNTIF({seasons},$AROW_HERE)", paired, season), *counted)


def _young_formula(outcome: str) -> str:
    """A blank Count is 1, a blank Outcome is live; a Count that is no number counts as none."""
    words = f'(Young_outcome="{outcome}")' + ('+(Young_outcome="")' if outcome == "live" else "")
    counted = f"SUMPRODUCT((Young_season=$AROW_HERE)*({words}),Young_count)"
    blanks = f'SUMPRODUCT((Young_season=$AROW_HERE)*({words})*(Young_count=""))'
    return f"{counted}+{blanks}"


def _young(records: Records) -> Counter:
    """Young by season and outcome."""
    season = {record.get("Pairing"): record.get("Season") for record in reversed(records.get("Pairings", ()))}
    found: Counter = Counter()
    for record in records.get("Hatch results", ()):
        count = record.get("Count")
        number = 1 if count is None else int(count) if isinstance(count, (int, float)) else 0
        found[season.get(record.get("Pairing")), record.get("Outcome") or "live"] += number
    return found
