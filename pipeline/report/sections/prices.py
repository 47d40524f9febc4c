"""What prices do: the typical price of each morph and where it is going."""

import pandas as pd

from pipeline.report.context import Context, Highlight
from pipeline.report.formats import changes, dates, money, spans
from pipeline.report.grid import Grid, grid
from pipeline.report.sections.part import Part, counted, listed

_EMPTY = "No prices yet: fill the sheet Prices, one advert or sale a row."


def prices(context: Context) -> Part:
    """One row a morph, currency and kind; the surest trends first."""
    rows = context.table("price_trends").sort_values(
        ["p", "species", "morph", "currency", "kind", "book"], kind="stable"
    )
    rows = rows.assign(
        range=spans(money(rows["low"]), money(rows["high"])),
        change_range=spans(changes(rows["change_low"]), changes(rows["change_high"])),
        turned_range=spans(dates(rows["turned_low"]), dates(rows["turned_high"])),
    )
    columns = context.columns("price_trends", _COLUMNS)
    drawn = context.drawn_of("price")
    keys = zip(*(rows[name] for name in ("book", "species", "morph", "currency", "kind")), strict=True)
    figures = [drawn.get(context.subject(*key)) for key in keys]
    table = grid("morphs", "Price of each morph", rows, columns, empty=_EMPTY, figures=figures)
    odd = context.table("price_outliers")
    values = {
        "morphs": table,
        "odd": _odd(context, odd),
        "figures": list(drawn.values()),
        "left_out": context.left_out.get("price", 0),
    }
    return Part(values, (*_moves(rows, context), *_out_of_line(odd, context)))


_COLUMNS = """
    morph     | Morph | words |
    species   | Species | brief |
    direction | Direction | words |
    typical   | Typical price | money |
    range     | 8 of 10 between | brief |
    currency  | Currency | words |
    kind      | Kind | words |
    change_per_year | Change a year | changes |
    change_range | 95 % range | brief |
    turned_on | Turned on | dates |
    turned_range | 95 % between | day_ranges |
    p         | p | p_values |
    n         | Adverts and sales | counts |
    last_on   | Latest | dates |
    note      | Note | prose |
"""
_ODD = """
    morph    | Morph | words |
    species  | Species | brief |
    row      | Row of the sheet Prices | counts |
    on       | Date | dates |
    offer    | Kind | words |
    price    | Price | money |
    expected | The others say | money |
    range    | In line from | brief |
    currency | Currency | words |
    note     | Look at | prose |
"""


def _odd(context: Context, rows: pd.DataFrame) -> Grid:
    rows = rows.assign(range=spans(money(rows["low"]), money(rows["high"])))
    columns = context.columns("price_outliers", _ODD)
    return grid("odd-prices", "Prices out of line", rows, columns, empty="")


def _out_of_line(rows: pd.DataFrame, context: Context) -> list[Highlight]:
    if rows.empty:
        return []
    names = listed(
        [context.of_book(f"{row.morph}, row {row.row:.0f}", row.book) for row in rows.itertuples()], 3
    )
    return [Highlight(f"{counted(len(rows), 'price')} out of line: {names}.", "prices", urgent=False)]


def _moves(rows: pd.DataFrame, context: Context) -> list[Highlight]:
    """What rises and what falls; silence about the rest."""
    found = []
    several = rows["species"].nunique() > 1
    for direction in ("falling", "rising"):
        moving = rows[rows["direction"] == direction].drop_duplicates(["book", "species", "morph"])
        names = [
            context.of_book(f"{row.morph} ({row.species})" if several else row.morph, row.book)
            for row in moving.itertuples()
        ]
        if names:
            words = f"Prices {direction} for {counted(len(names), 'morph')}: {listed(names, 4)}."
            found.append(Highlight(words, "prices", urgent=False))
    return found
