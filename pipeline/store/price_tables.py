"""The findings tables of prices and worth (use store/tables.py, which names them all)."""

from pipeline.store.findings_table import FindingsTable, columns

PRICE_TRENDS = FindingsTable(
    "price_trends",
    "Prices",
    "What each morph is offered or sold for, and where that is going. A trend is no promise.",
    columns("""
        species | VARCHAR | The species.
        morph | VARCHAR | The label.
        currency | VARCHAR | The currency.
        kind | VARCHAR | asked, sold, or both (asking prices scaled to sold ones by the book's own ratio).
        n | INTEGER | Adverts and sales.
        first_on | DATE | The earliest.
        last_on | DATE | The latest.
        asked_scale | DOUBLE | What asking prices were multiplied by to stand for sold ones; empty where none were.
        n_last_year | INTEGER | Of these, adverts and sales of the last year.
        typical | DOUBLE | Weighted median of the last year.
        low | DOUBLE | Lower end of the range that four in five such prices keep to.
        high | DOUBLE | Upper end of that range.
        change_per_year | DOUBLE | Change a year as a share (Theil-Sen on log price): -0.1 is a tenth less.
        change_low | DOUBLE | Lower end of its 95 % interval.
        change_high | DOUBLE | Upper end of its 95 % interval.
        p | DOUBLE | p-value of a trend (Mann-Kendall; after a turn or change of pace, of the slope since).
        direction | VARCHAR | rising, falling, flat, or too few; after a turn or change of pace that since then, and so the change a year.
        turned_on | DATE | When a fall became a rise or the other way; empty where it did not.
        turned_low | DATE | Early end of its 95 % interval.
        turned_high | DATE | Late end of its 95 % interval.
        change_before | DOUBLE | Change a year before the turn or change of pace; empty where there was none.
        note | VARCHAR | What limits the answer, in plain words.
    """),
)
PRICE_POINTS = FindingsTable(
    "price_points",
    "Adverts and sales",
    "The single prices behind the trends.",
    columns("""
        species | VARCHAR | The species.
        morph | VARCHAR | The label.
        currency | VARCHAR | The currency of the trend.
        kind | VARCHAR | The kind of the trend: asked, sold or both.
        on | DATE | The day; mid-year where only a year was given.
        offer | VARCHAR | asked or sold.
        price | DOUBLE | The price in the currency of the trend.
        row | INTEGER | Its row on the sheet Prices.
        scaled | DOUBLE | The price as the trend counts it: an asking price scaled to a sold one.
    """),
)
PRICE_BANDS = FindingsTable(
    "price_bands",
    "Price trends, drawn",
    "The trend of each price with its 95 % band, first price to last, where the direction can be told.",
    columns("""
        species | VARCHAR | The species.
        morph | VARCHAR | The label.
        currency | VARCHAR | The currency.
        kind | VARCHAR | asked, sold or both.
        on | DATE | The day.
        price | DOUBLE | Price by the trend.
        low | DOUBLE | Lower end of its 95 % band.
        high | DOUBLE | Upper end of its 95 % band.
    """),
)
GENE_PREMIUMS = FindingsTable(
    "gene_premiums",
    "What each gene is worth",
    "What a gene multiplies the price by, all else alike, today; shrunken, so that a gene on two adverts does not rule.",
    columns("""
        species | VARCHAR | The species.
        gene | VARCHAR | The gene.
        standing | VARCHAR | shows, two copies (against none), het, or line-bred.
        currency | VARCHAR | The currency of the prices.
        n | INTEGER | Adverts and sales that bear it so.
        factor | DOUBLE | What it multiplies the price by: 1.5 is half as much again.
        factor_low | DOUBLE | Lower end of its 95 % interval.
        factor_high | DOUBLE | Upper end of its 95 % interval.
        note | VARCHAR | What limits the answer, in plain words.
    """),
)
PRICE_FACTORS = FindingsTable(
    "price_factors",
    "What else moves the price",
    "What selling, sex, age, a year and the time of year multiply the price by, all else alike.",
    columns("""
        species | VARCHAR | The species.
        currency | VARCHAR | The currency of the prices.
        what | VARCHAR | What is held against what.
        n | INTEGER | Adverts and sales that tell; for a quarter of the year, years.
        factor | DOUBLE | What it multiplies the price by.
        factor_low | DOUBLE | Lower end of its 95 % interval.
        factor_high | DOUBLE | Upper end of its 95 % interval.
        p | DOUBLE | For a quarter of the year, the p-value that quarters differ at all (Friedman).
    """),
)
PRICE_OUTLIERS = FindingsTable(
    "price_outliers",
    "Prices out of line",
    "Adverts and sales that all the others make unlikely. Look at them before you trust a trend that rests on them.",
    columns("""
        species | VARCHAR | The species.
        morph | VARCHAR | The label.
        currency | VARCHAR | The currency of the price.
        row | INTEGER | Its row on the sheet Prices.
        on | DATE | The day.
        offer | VARCHAR | asked or sold.
        price | DOUBLE | The price.
        expected | DOUBLE | What the others would have it be.
        low | DOUBLE | Lower end of the range outside which a price is called out of line.
        high | DOUBLE | Upper end of that range.
        times | DOUBLE | The price over the expected one.
        note | VARCHAR | What to look at.
    """),
)
LABEL_PRICES = FindingsTable(
    "label_prices",
    "Labels hardly ever advertised",
    "What animals kept and bred here would fetch by their genes, where last year's adverts of that label don't say.",
    columns("""
        species | VARCHAR | The species.
        label | VARCHAR | The label.
        currency | VARCHAR | The currency.
        adverts | INTEGER | Adverts and sales of that very label, of any year.
        price | DOUBLE | Price by its genes, today.
        low | DOUBLE | Lower end of the range that four in five such prices keep to.
        high | DOUBLE | Upper end of that range.
        note | VARCHAR | What the price rests on.
    """),
)
SEASON_VALUE = FindingsTable(
    "season_value",
    "What the season's young are worth",
    "Live young by label at what such animals fetch today, beside what sales in the book and Paid say. No bill, no tax paper.",
    columns("""
        season | INTEGER | The season.
        species | VARCHAR | The species.
        label | VARCHAR | The label; empty: all young of the species.
        currency | VARCHAR | The currency.
        young | INTEGER | Live young.
        priced | INTEGER | Of these, young whose price is known.
        source | VARCHAR | typical (last year's prices of that label), genes (priced by its genes), or none.
        price | DOUBLE | Price of one.
        low | DOUBLE | Lower end of the range that four in five such prices keep to.
        high | DOUBLE | Upper end of that range.
        value | DOUBLE | Young that are priced, times the price.
        value_low | DOUBLE | Lower end of its 80 % range.
        value_high | DOUBLE | Upper end of its 80 % range.
        sold | INTEGER | Sales of that label in the book in the year from the season's start, of these young or not.
        sold_for | DOUBLE | What they brought together.
        paid | DOUBLE | Paid for the parents of these young, as far as Paid is filled; for all young of the species.
        paid_known | INTEGER | Parents with Paid filled.
        parents | INTEGER | Parents.
        note | VARCHAR | What limits the answer, in plain words.
    """),
)
