"""A small collection, invented, with a little of everything; and the parts of it that a keeper might have alone."""

from datetime import date

from pipeline.workbook.sheets import SHEETS

Row = dict[str, object]
AS_OF = date(2025, 11, 1)
BOA = "Common boa"

SMALL: dict[str, list[Row]] = {
    "Species": [
        {
            "Species": BOA, "Young": "live", "Sex chromosomes": "XY", "Female breeding weight": 2000,
            "Male breeding weight": 700, "Female breeding age": 36, "Rest between litters": 18, "Days to young": 110,
        }
    ],
    "Genes": [
        {"Species": BOA, "Gene": "Anery", "Inheritance": "recessive"},
        {"Species": BOA, "Gene": "Motley", "Inheritance": "incomplete dominant"},
    ],
    "Animals": [
        {"ID": "B1", "Species": BOA, "Sex": "F", "Born": 2018, "Genes": "het Anery"},
        {"ID": "B2", "Species": BOA, "Sex": "M", "Born": 2018, "Genes": "Motley, het Anery"},
        {"ID": "B3", "Species": BOA, "Sex": "F", "Born": date(2023, 7, 1), "Genes": "Motley", "Sire": "B2", "Dam": "B1"},
    ],
    "Pairings": [
        {"Pairing": f"P{season % 100}", "Season": season, "Dam": "B1", "Sire": "B2", "Ovulated or laid": date(season, 3, 9)}
        for season in (2023, 2025)
    ],
    "Hatch results": [
        {"Pairing": pairing, "Date": born, "Genes": genes, "Count": count}
        for pairing, born in (("P23", date(2023, 7, 1)), ("P25", date(2025, 6, 28)))
        for genes, count in (("normal", 7), ("Motley", 6), ("Anery", 2), ("Motley Anery", 3))
    ],
    "Weights": [
        {"Animal": "B3", "Date": day, "Weight": weight}
        for day, weight in (
            (date(2023, 8, 1), 70), (date(2024, 2, 1), 240), (date(2024, 8, 1), 520), (date(2025, 2, 1), 900),
            (date(2025, 8, 1), 1300),
        )
    ],
    "Prices": [
        {"Date": date(year, month, 5), "Species": BOA, "Genes": "Motley", "Price": price + month, "Currency": "USD"}
        for year, price in ((2022, 300), (2023, 260), (2024, 220), (2025, 180))
        for month in (2, 5, 8)
    ],
}  # fmt: skip

FOR_RATIOS = ("Genes", "Animals", "Pairings", "Hatch results")
FOR_GROWTH = ("Species", "Animals", "Weights")
FOR_PRICES = ("Genes", "Prices")


def small_book(*names: str) -> dict[str, list[Row]]:
    """Those sheets of the small collection alone (all where none is named), by header as a keeper would type it."""
    headers = {sheet.name: {column.name: column.header for column in sheet.columns} for sheet in SHEETS}
    return {
        name: [{headers[name][field]: value for field, value in row.items()} for row in rows]
        for name, rows in SMALL.items()
        if not names or name in names
    }
