"""A book whose names hold all that could harm an output: markup, formulas, quotes, emoji, Hebrew, ten thousand letters."""

from datetime import date
from pathlib import Path

from openpyxl import Workbook

Row = dict[str, object]
AS_OF = date(2025, 11, 1)

SCRIPT = "<script>window.hit=1</script>"
IMAGE = '"><img src=x onerror=window.hit=2>'
FORMULA = '=HYPERLINK("http://127.0.0.1/","go")'
HEBREW = "נחש אדום\u202e"
"""With a control that turns whatever follows it around."""
EMOJI = "🐍 'Großvater'"
LONG = "L" + "o" * 9_998 + "g"

SPECIES = f"Boa {SCRIPT}"
MOTLEY, FIRE, RED = 'Mot\'ley "M"', "Fire 🐍", "אדום"
DAM, SIRE, DAUGHTER, SISTER, BROTHER = f"D{IMAGE}", FORMULA, HEBREW, EMOJI, LONG
FIRST, SECOND, THIRD = f"P {SCRIPT}", "=2+5", LONG


def rows() -> dict[str, list[Row]]:
    """The sheets of the book, by their headers."""
    return _animals_and_genes() | _litters() | _weights_and_prices() | _wishes()


def _animals_and_genes() -> dict[str, list[Row]]:
    return {
        "Species": [
            {
                "Species": SPECIES, "Scientific name": HEBREW, "Young": "live", "Sex chromosomes": "XY",
                "Female breeding weight (g)": 2000, "Male breeding weight (g)": 700,
                "Female breeding age (months)": 36, "Days to young": 110, "Notes": LONG,
            }
        ],
        "Genes": [
            _gene(MOTLEY, "incomplete dominant") | {"Two copies name": f"Super <b>{MOTLEY}</b>"},
            _gene(FIRE) | {"Welfare note": SCRIPT + IMAGE},
            _gene(RED) | {"Welfare note": LONG},
        ],
        "Animals": [
            _animal(DAM, "F", f"het {FIRE}", SCRIPT) | {"Born": 2018},
            _animal(SIRE, "M", f"{MOTLEY}, het {FIRE}", "@SUM(A1)") | {"Born": 2018},
            *(
                _animal(name, sex, genes, name) | {"Sire": SIRE, "Dam": DAM, "Notes": name}
                for name, sex, genes in ((DAUGHTER, "F", MOTLEY), (SISTER, "F", f"{MOTLEY} {FIRE}"), (BROTHER, "M", MOTLEY))
            ),
            _animal("+1", "M", f"{MOTLEY} {SCRIPT}", "-1"),
        ],
    }  # fmt: skip


def _litters() -> dict[str, list[Row]]:
    return {
        "Pairings": [
            {"Pairing": name, "Season": day.year, "Dam": dam, "Sire": sire, "Ovulated or laid": day, "Notes": IMAGE}
            for name, day, dam, sire in (
                (FIRST, date(2023, 3, 9), DAM, SIRE), (SECOND, date(2025, 3, 9), DAM, SIRE), (THIRD, date(2025, 3, 19), DAUGHTER, BROTHER),
            )
        ],
        "Hatch results": [
            {"Pairing": name, "Date": day, "Genes": genes, "Count": count, "Notes": SCRIPT}
            for name, day in ((FIRST, date(2023, 7, 1)), (SECOND, date(2025, 6, 28)), (THIRD, date(2025, 6, 30)))
            for genes, count in (("normal", 7), (MOTLEY, 6), (FIRE, 2), (f"{MOTLEY} {FIRE}", 3), (RED, 2))
        ],
    }  # fmt: skip


def _weights_and_prices() -> dict[str, list[Row]]:
    return {
        "Weights": [
            {"Animal": animal, "Date": date(year, month, 1), "Weight (g)": grams}
            for animal in (DAUGHTER, BROTHER, "+1")
            for year, month, grams in ((2023, 8, 70), (2024, 2, 240), (2024, 8, 520), (2025, 2, 900), (2025, 8, 1300))
        ],
        "Prices": [
            {
                "Date": date(year, month, 5), "Species": SPECIES, "Genes": MOTLEY, "Price": price + month,
                "Currency": "USD", "Where": FORMULA,
            }
            for year, price in ((2022, 300), (2023, 260), (2024, 220), (2025, 180))
            for month in (2, 5, 8)
        ],
    }  # fmt: skip


def _wishes() -> dict[str, list[Row]]:
    return {
        "Goals": [
            {"Goal": f"Goal {IMAGE}", "Species": SPECIES, "Genes": f"{MOTLEY} {FIRE}", "Wanted by": 2030},
            {"Goal": LONG, "Species": SPECIES, "Genes": FIRE},
        ],
        "Settings": [
            {"Setting": "Keeper", "Value": f"{SCRIPT} {HEBREW} {LONG}"},
            {"Setting": SCRIPT, "Value": FORMULA},
        ],
        EMOJI: [{"own": SCRIPT}],
    }  # fmt: skip


def _gene(name: str, inheritance: str = "recessive") -> Row:
    return {"Species": SPECIES, "Gene": name, "Inheritance": inheritance}


def _animal(name: str, sex: str, genes: str, called: str) -> Row:
    return {
        "ID": name,
        "Name": called,
        "Species": SPECIES,
        "Sex": sex,
        "Born": date(2023, 7, 1),
        "Genes": genes,
    }


def write(path: Path) -> None:
    """Write the book as a keeper's program would: what begins with = is text all the same."""
    book = Workbook()
    book.remove(book.active)
    for title, records in rows().items():
        page = book.create_sheet(title.replace("'", ""))
        headers = list(dict.fromkeys(header for record in records for header in record))
        for at, record in enumerate([dict(zip(headers, headers, strict=True)), *records], start=1):
            for column, header in enumerate(headers, start=1):
                cell = page.cell(at, column, record.get(header))
                if isinstance(cell.value, str):
                    cell.data_type = "s"
    book.save(path)
