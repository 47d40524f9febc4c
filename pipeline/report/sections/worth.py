"""What genes and young are worth: what each gene multiplies a price by, labels hardly ever advertised, the season's young."""

import pandas as pd

from pipeline.report.context import Context, Highlight, anchor
from pipeline.report.formats import counts, money, money_text, numbers, spans
from pipeline.report.grid import Grid, grid
from pipeline.report.sections.part import Part, counted

_EMPTY = (
    "Too few prices yet: it takes a dozen adverts or sales of three labels of a species on the sheet Prices."
)
_ALL = "all young"
_NO_YOUNG = "No live young recorded for this season."


def worth(context: Context) -> Part:
    """The season's young at today's prices, the factor of each gene with its chart, and labels priced by their genes."""
    season = context.table("season_value")
    season = season[context.is_current(season["season"])]
    drawn = context.drawn_of("premium")
    values = {
        "season": _season(context, season),
        "genes": _factors(
            context, "gene_premiums", "genes-worth", "What each gene multiplies the price by", _GENES
        ),
        "others": _factors(context, "price_factors", "price-factors", "What else moves the price", _OTHERS),
        "labels": _labels(context),
        "figures": list(drawn.values()),
        "left_out": context.left_out.get("premium", 0),
    }
    return Part(values, tuple(_sums(season, context)))


_SEASON = """
    label    | Label | words | | price label
    species  | Species | brief |
    young    | Live young | counts | | season season
    price    | Price of one | money |
    range    | 8 of 10 between | brief |
    value    | Together | money | | market currency
    value_range | 80 % range | brief |
    currency | Currency | words |
    source   | Price from | words |
    sold     | Sales in the book | counts |
    sold_for | Sold for | money |
    paid     | Paid for the parents | money | | parents season
    paid_of  | Paid known of | brief |
    note     | Note | prose |
"""


def _season(context: Context, rows: pd.DataFrame) -> Grid:
    known, parents = counts(rows["paid_known"]), counts(rows["parents"])
    rows = rows.assign(
        label=rows["label"].fillna(_ALL),
        range=spans(money(rows["low"]), money(rows["high"])),
        value_range=spans(money(rows["value_low"]), money(rows["value_high"])),
        paid_of=[f"{a} of {b} parents" if b else "" for a, b in zip(known, parents, strict=True)],
    )
    columns = context.columns("season_value", _SEASON)
    sums = zip(rows["label"], rows["book"], rows["species"], strict=True)
    ids = [_place(*whose) if label == _ALL else "" for label, *whose in sums]
    return grid(
        "season-value", "What the season's young would fetch today", rows, columns, empty=_NO_YOUNG, ids=ids
    )


def _place(book: str, species: str) -> str:
    """The id of the row that sums a species."""
    return anchor("worth", book, species)


_GENES = """
    gene     | Gene | words |
    species  | Species | brief |
    standing | How the label has it | words |
    factor   | Price times | numbers |
    range    | 95 % range | brief |
    currency | Currency | words |
    n        | Adverts and sales | counts | | market currency
    note     | Note | prose |
"""
_OTHERS = """
    what     | What against what | words |
    species  | Species | brief |
    factor   | Price times | numbers |
    range    | 95 % range | brief |
    currency | Currency | words |
    n        | Adverts, sales or years | counts | | market currency
    p        | p | p_values |
"""


def _factors(context: Context, table: str, name: str, caption: str, columns: str) -> Grid:
    rows = context.table(table)
    rows = rows.assign(range=spans(numbers(rows["factor_low"]), numbers(rows["factor_high"])))
    if table == "gene_premiums":
        rows = rows.sort_values(
            ["species", "currency", "factor"], ascending=[True, True, False], kind="stable"
        )
    return grid(name, caption, rows, context.columns(table, columns), empty=_EMPTY)


def _labels(context: Context) -> Grid:
    rows = context.table("label_prices")
    rows = rows.assign(range=spans(money(rows["low"]), money(rows["high"])))
    columns = """
        label    | Label | words |
        species  | Species | brief |
        price    | Price by its genes | money | | market currency
        range    | 8 of 10 between | brief |
        currency | Currency | words |
        adverts  | Adverts of this label | counts | | price label
        note     | Note | prose |
    """
    own = context.columns("label_prices", columns)
    return grid("label-prices", "Labels hardly ever advertised", rows, own, empty="")


def _sums(rows: pd.DataFrame, context: Context) -> list[Highlight]:
    """One line for each species whose young have a price."""
    sums = rows[rows["label"].isna() & rows["value"].notna()]
    lines = []
    for row in sums.itertuples():
        value, low, high = (
            money_text(float(f"{amount:.3g}")) for amount in (row.value, row.value_low, row.value_high)
        )
        young = counted(int(row.priced), "live young", "live young")
        lines.append(
            Highlight(
                f"{context.of_book(row.species, row.book)}: {young} of the season at today's prices about {value} {row.currency} "
                f"(80 % range {low} to {high}); no promise.",
                _place(row.book, row.species),
                urgent=False,
            )
        )
    return lines
