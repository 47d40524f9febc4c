"""How the seasons went, what is due, and the sexes of the young."""

from typing import Any

import pandas as pd

from pipeline.report.context import Context, Highlight
from pipeline.report.formats import percents, spans
from pipeline.report.grid import Grid, grid
from pipeline.report.sections.part import Part
from pipeline.report.verdicts import STANDS_OUT

_EMPTY_SEASONS = "No season to sum up yet: fill the sheets Pairings and Hatch results."
_EMPTY_CALENDAR = (
    "Nothing on the calendar: fill Ovulated or laid on the sheet Pairings, and Days to young and Rest between litters "
    "on the sheet Species."
)
_EMPTY_SEXES = "No sexed young yet: fill Sex on the sheet Hatch results."


def seasons(context: Context) -> Part:
    """One row a season and species, latest first."""
    rows = context.table("season_summary").sort_values(
        ["season", "species", "book"], ascending=[False, True, True], kind="stable"
    )
    rows = rows.assign(success_range=spans(percents(rows["success_low"]), percents(rows["success_high"])))
    columns = context.columns(
        "season_summary",
        """
        season        | Season | years | | season season
        species       | Species | brief |
        pairings      | Pairings | counts |
        clutches      | Clutches or litters | counts |
        eggs_or_young | Eggs or young | counts |
        live          | Live | counts |
        stillborn     | Stillborn | counts |
        died_in_egg   | Died in egg | counts |
        slugs         | Slugs | counts |
        success       | Lived | percents |
        success_range | 95 % range | brief |
        """,
    )
    return Part({"summary": grid("summary", "Each season and species", rows, columns, empty=_EMPTY_SEASONS)})


def calendar(context: Context) -> Part:
    """The page's season first; without a season, everything."""
    rows = context.table("calendar").sort_values(
        ["season", "due_on", "pairing", "book"], ascending=[False, True, True, True], kind="stable"
    )
    current = context.is_current(rows["season"])
    columns = context.columns(
        "calendar",
        """
        pairing   | Pairing | words |
        dam       | Dam | words |
        species   | Species | brief |
        season    | Season | years |
        due_on    | Young due | dates |
        born_on   | Young came | dates |
        rested_on | Dam rested from | dates |
        """,
    )
    now = grid("due", "The season's pairings", rows[current], columns, empty=_EMPTY_CALENDAR)
    before = grid("due-before", "Pairings of the other seasons", rows[~current], columns, empty="")
    return Part({"now": now, "before": before})


def sexes(context: Context) -> Part:
    """Species and pairings whose sexed young were counted, the least even first."""
    rows = context.table("sex_ratios").sort_values(
        ["p", "species", "pairing", "clutch", "book"], kind="stable"
    )
    wide = rows[rows["scope"] == "species"]
    fine = rows[rows["scope"] != "species"]
    values = {
        "species": _sexes("sexes-species", "Each species", wide, "sexed species", context),
        "pairings": _sexes("sexes-pairings", "Pairings and clutches", fine, "", context),
    }
    uneven = rows[rows["verdict"].isin(STANDS_OUT)]
    found = tuple(
        Highlight(
            f"{context.of_book(_whose(row), row.book)}: {row.males:.0f} males to {row.females:.0f} females.",
            "sexes",
            urgent=False,
        )
        for row in uneven.head(3).itertuples()
    )
    return Part(values, found)


def _sexes(name: str, caption: str, rows: pd.DataFrame, behind: str, context: Context) -> Grid:
    """A table of sexes; `behind` says what its counts sum where no pairing does."""
    text = "".join((_SPECIES, "" if behind else _SCOPE, _SEXES.format(behind)))
    columns = context.columns("sex_ratios", text)
    return grid(name, caption, rows, columns, empty=_EMPTY_SEXES)


_SPECIES = """
    species | Species | brief |
"""
_SCOPE = """\
    scope   | Counted | words |
    pairing | Pairing | words |
    clutch  | Clutch | years |
"""
_SEXES = """\
    verdict | Verdict | verdicts |
    males   | Males | counts | | {0}
    females | Females | counts | | {0}
    p       | p | p_values |
    q       | q | p_values |
"""


def _whose(row: Any) -> str:
    return str(row.species) if row.scope == "species" else f"Pairing {row.pairing}"
