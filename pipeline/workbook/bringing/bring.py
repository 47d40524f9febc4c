"""The front door: an old list in, a book of ours and an account of what went where out."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from pipeline.errors import RequestError
from pipeline.workbook.bringing.animals import Identities, add_animals, name_parents
from pipeline.workbook.bringing.breeding import Pairs, add_breeding
from pipeline.workbook.bringing.carrying import Order, is_open
from pipeline.workbook.bringing.found_genes import declared_names, gene_rows
from pipeline.workbook.bringing.grids import read_grids
from pipeline.workbook.bringing.left_over import account_page, left_over_page
from pipeline.workbook.bringing.matching import Known
from pipeline.workbook.bringing.moneys import settle_currency
from pipeline.workbook.bringing.others import add_others
from pipeline.workbook.bringing.records import Gathered, OldRow, Values, old_rows
from pipeline.workbook.bringing.tabs import OldTab, tabs_of
from pipeline.workbook.bringing.targets import Target, candidates, meant
from pipeline.workbook.bringing.topics import Matched, matched
from pipeline.workbook.bringing.wording import plain, words_of
from pipeline.workbook.sheets import HATCH_RESULTS, SHEETS, sheet, snake
from pipeline.workbook.template import write_book

_FIRST = ("Settings", "Species", "Genes", "Morph names", "Animals")
"""Topics in the order in which they are brought in: IDs before what refers to them."""


@dataclass(frozen=True)
class Brought:
    """An old list, understood: each table with its topic and placings, and what came of it."""

    name: str
    tables: tuple[Matched, ...]
    gathered: Gathered


def bring(old: Path, species: str = "", asked: Sequence[str] = (), dates: Order = None) -> Brought:
    """Understand an old list (.xlsx, .xlsm, .csv). Nothing is written.

    `species` is that of rows that name none, `dates` how days such as 3/4/2024 are meant where their column does not
    tell. `asked` are wishes of the form 'THEIR COLUMN=Sheet.Column', or
    'THEIR COLUMN=Notes'. BookError where the list can't be read, RequestError for a wish that can't be met.
    """
    tabs = [tab for grid in read_grids(old) for tab in tabs_of(grid)]
    wishes = _wishes(asked, tabs)
    tables = _matched(tabs, wishes)
    _refuse_unmet(wishes, tables)
    gathered = Gathered()
    rows = {id(table): list(old_rows(table, dates)) for table in tables if table.topic}
    identities = Identities(row for table in tables if table.topic == "Animals" for row in rows[id(table)])
    pairs = Pairs(identities, gathered)
    for table in sorted(tables, key=_turn):
        _add(table, rows.get(id(table), []), identities, pairs, gathered, species)
    name_parents(gathered.records.get("Animals", ()), identities, gathered)
    if asides := sum(len(tab.asides) for tab in tabs):
        gathered.sayings["totals and remarks under a table stand on 'Left over'"] = asides
    if slid := sum(table.tab.slid for table in tables):
        gathered.sayings["tables have their headings one column off; each is read as if it stood over its own column"] = slid
    settle_currency(tables, gathered)
    _tell_open_dates(gathered)
    _add_genes(gathered)
    _add_species(gathered)
    return Brought(old.name, tuple(tables), gathered)


def write_brought(brought: Brought, new: Path) -> None:
    """Write the new book. RequestError where `new` exists or its folder does not."""
    note = f"Brought in from {brought.name}. The sheet 'Brought in' says what went where; 'Left over' holds what found no place."
    pages = (account_page(brought.tables, brought.gathered), left_over_page(brought.tables, brought.gathered))
    write_book(new, brought.gathered.records, title_note=note, pages=pages)


def _matched(tabs: Sequence[OldTab], asked: Mapping[str, Target | None]) -> list[Matched]:
    """Twice: what the animal list and the list of genes say helps to understand the other tables."""
    first = [matched(tab, Known(asked=asked)) for tab in tabs]
    ids = {words_of(value) for value in _column(first, Target("Animals", "ID"))}
    genes = {words_of(value).casefold() for value in _column(first, Target("Genes", "Gene"))}
    known = Known(frozenset(ids), frozenset(genes), asked)
    return [matched(tab, known) for tab in tabs]


def _column(tables: Sequence[Matched], target: Target) -> Iterator:
    for table in tables:
        for placing in table.placings:
            if placing.target == target:
                yield from table.tab.filled(placing.position)


def _wishes(asked: Sequence[str], tabs: Sequence[OldTab]) -> dict[str, Target | None]:
    headers = {plain(tab.title(position)): tab.title(position) for tab in tabs for position in tab.positions}
    wishes = {}
    for wish in asked:
        theirs, equals, ours = wish.rpartition("=")
        if not equals:
            raise RequestError(f"'{wish}' names no place; write \"THEIR COLUMN=Animals.Born\", or \"THEIR COLUMN=Notes\".")
        if plain(theirs) not in headers:
            raise RequestError(f"The list has no column '{theirs}'; it has {', '.join(headers.values())}.")
        wishes[plain(theirs)] = None if snake(ours) == "notes" else _wished(ours)
    return wishes


def _wished(ours: str) -> Target:
    name, _, column = ours.partition(".")
    outcome = column.strip().casefold()
    if snake(name) == HATCH_RESULTS.table and outcome in HATCH_RESULTS.column("outcome").choices:
        return Target(HATCH_RESULTS.name, "Count", (("Outcome", outcome),))
    try:
        found = sheet(name)
    except KeyError:
        raise RequestError(
            f"There is no column '{ours}'; write Sheet.Column, such as Animals.Born, or Hatch results.slug for a count "
            f"of such young, or Notes. Sheets are {', '.join(s.name for s in SHEETS)}."
        ) from None
    try:
        return Target(found.name, found.column(snake(column)).name)
    except KeyError:
        raise RequestError(
            f"There is no column '{ours}'; {found.name} has {', '.join(c.name for c in found.columns)}."
        ) from None


def _refuse_unmet(wishes: Mapping[str, Target | None], tables: Sequence[Matched]) -> None:
    """RequestError for a column that no table with it can bring to the place asked for: it would come to nothing."""
    for words, wished in wishes.items():
        having = [(table, p.header) for table in tables for p in table.placings if plain(p.header) == words]
        if not wished or not having or any(meant(table.topic, wished) for table, _ in having):
            continue
        table, header = having[0]
        said = f"'{header}' can't go to {wished.sheet}.{wished.column}: sheet '{table.tab.name}' "
        if not table.topic:
            raise RequestError(f"{said}is not understood; place more of its columns, or take this wish back.")
        sheets = dict.fromkeys(candidate.target.sheet for candidate in candidates(table.topic))
        raise RequestError(
            f"{said}is read as a list of {table.topic.lower()}, which fills {', '.join(sheets)}; name a column of "
            f"{'that sheet' if len(sheets) == 1 else 'those sheets'}, or Notes."
        )


def _turn(table: Matched) -> tuple[int, bool]:
    """Animals before pairings, pairings by name before what may speak of them."""
    order = _FIRST.index(table.topic) if table.topic in _FIRST else len(_FIRST)
    return order, not any(placing.target == Target("Pairings", "Pairing") for placing in table.placings)


def _add(
    table: Matched, rows: list[OldRow], identities: Identities, pairs: Pairs, gathered: Gathered, species: str
) -> None:
    match table.topic:
        case "":
            gathered.left_over += [(table.tab.name, number) for number in table.tab.numbers]
        case "Animals":
            add_animals(rows, identities, gathered, species)
        case "Pairings":
            add_breeding(rows, pairs, gathered)
        case topic:
            add_others(topic, rows, identities, gathered, species)


def _tell_open_dates(gathered: Gathered) -> None:
    """Say how many days may be read in two ways; each is left to the check, which points at its cell."""
    columns = {(sheet.name, column.name): column for sheet in SHEETS for column in sheet.columns}
    for name, records in gathered.records.items():
        for record in records:
            for field, value in record.items():
                if is_open(columns[name, field], value):
                    gathered.say(
                        "dates such as 3/4/2024 or 3.4.24 may mean two days; --dates day-first or month-first settles them"
                    )


def _add_genes(gathered: Gathered) -> None:
    """Rows for the genes that labels name and the list declares nowhere."""
    records = gathered.records
    found = gene_rows(_labels(records), declared_names(records))
    records.setdefault("Genes", []).extend(found)
    if found:
        gathered.sayings["genes found in labels stand on the Genes sheet; fill in how each is inherited"] = (
            len(found)
        )


def _labels(records: Mapping[str, list[Values]]) -> Iterator[tuple[str, str]]:
    """Species and label of every record with a label; young are of their dam's species, or of the one there is."""
    named = {own.casefold(): own for own in _species_named(records)}
    lone = next(iter(named.values())) if len(named) == 1 else ""
    kinds = {words_of(a["ID"]): words_of(a.get("Species", "")) for a in records.get("Animals", ())}
    dams = {
        words_of(p["Pairing"]): words_of(p.get("Dam", ""))
        for p in records.get("Pairings", ())
        if "Pairing" in p
    }
    for name in ("Animals", "Hatch results", "Prices", "Goals", "Morph names"):
        for record in records.get(name, ()):
            dam = dams.get(words_of(record.get("Pairing", "")), "")
            if "Genes" in record:
                yield words_of(record.get("Species") or kinds.get(dam) or lone), words_of(record["Genes"])


def _species_named(records: Mapping[str, list[Values]]) -> Iterator[str]:
    for name in ("Species", "Animals", "Genes", "Prices", "Morph names", "Goals"):
        yield from filter(None, (words_of(record.get("Species") or "") for record in records.get(name, ())))


def _add_species(gathered: Gathered) -> None:
    """A row for every species that records name and the list declares nowhere."""
    rows = gathered.records.setdefault("Species", [])
    known = {words_of(row.get("Species", "")).casefold() for row in rows}
    for own in list(_species_named(gathered.records)):
        if own.casefold() not in known:
            known.add(own.casefold())
            rows.append({"Species": own})
            gathered.say(
                "species entered on the Species sheet; breeding weights and ages are yours to fill in"
            )
