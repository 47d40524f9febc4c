"""Who is kin to whom: animals that are inbred, and kept pairs whose young would be."""

import pandas as pd

from pipeline.genetics.collection import GONE
from pipeline.report.context import Context, Highlight
from pipeline.report.formats import shares
from pipeline.report.grid import Grid, grid
from pipeline.report.sections.part import Part, counted, listed

_MOST_PAIRS = 500
_EMPTY = "No two kept animals of opposite sex have an ancestor in common, as far as Sire and Dam are filled on the sheet Animals."


def kin(context: Context) -> Part:
    """Kept pairs that are kin, the closest first, and the inbred animals behind a fold."""
    pairs = context.table("kinship").sort_values(
        ["f_young", "species", "dam", "sire", "book"],
        ascending=[False, True, True, True, True],
        kind="stable",
    )
    animals = context.table("inbreeding")
    animals = animals[animals["f"] > 0].sort_values(
        ["f", "species", "animal", "book"], ascending=[False, True, True, True], kind="stable"
    )
    values = {
        "pairs": _pairs(pairs.head(_MOST_PAIRS), context),
        "animals": _animals(animals.head(_MOST_PAIRS), context),
        "left_out": max(0, len(pairs) - _MOST_PAIRS),
        "asked": len(context.table("inbreeding")) > 0,
    }
    return Part(values, tuple(_highlights(animals, context)))


def _pairs(pairs: pd.DataFrame, context: Context) -> Grid:
    columns = context.columns(
        "kinship",
        """
        dam     | Female | words |
        sire    | Male | words |
        f_young | Inbreeding of young | shares |
        over_limit | Over your limit | yes_no |
        common_ancestors | Through | prose |
        generations_known | Generations known | tenths |
        species | Species | brief |
        """,
    )
    return grid("kin-pairs", "Kept pairs that are kin", pairs, columns, empty=_EMPTY)


def _animals(animals: pd.DataFrame, context: Context) -> Grid:
    columns = context.columns(
        "inbreeding",
        """
        animal  | Animal | words |
        f       | Inbreeding | shares |
        over_limit | Over your limit | yes_no |
        dam     | Dam | words |
        sire    | Sire | words |
        common_ancestors | Both descend from | prose |
        generations_known | Generations known | tenths |
        status  | Status | words |
        species | Species | brief |
        """,
    )
    return grid("inbred", "Inbred animals", animals, columns, empty="")


def _highlights(animals: pd.DataFrame, context: Context) -> list[Highlight]:
    """Animals here that are inbred beyond the keeper's own limit."""
    here = animals[animals["over_limit"].eq(True) & ~animals["status"].isin(GONE)]
    if here.empty:
        return []
    each = zip(here["animal"], here["book"], shares(here["f"]), strict=True)
    names = listed([f"{context.of_book(animal, book)} ({f})" for animal, book, f in each])
    return [
        Highlight(
            f"{counted(len(here), 'animal')} here inbred beyond your limit: {names}.", "kin", urgent=False
        )
    ]
