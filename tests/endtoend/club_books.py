"""Two invented keepers who share a female, and the one book that a careful hand would make of their two."""

from datetime import date

BOA = "Common boa"
Row = dict[str, object]
Sheets = dict[str, list[Row]]

GENES = [
    {"Species": BOA, "Gene": "Anery", "Inheritance": "recessive"},
    {"Species": BOA, "Gene": "Motley", "Inheritance": "incomplete dominant"},
]
SPECIES = [{"Species": BOA, "Young": "live", "Sex chromosomes": "XY", "Days to young": 110}]


def ann() -> Sheets:
    """She bred F1 of a het dam, so F1 may be het; F1 is shared, X1 is not."""
    return {
        "Species": SPECIES,
        "Genes": GENES,
        "Animals": [
            {"ID": "D1", "Species": BOA, "Sex": "F", "Born": 2015, "Genes": "het Anery", "Label basis": "proved"},
            {"ID": "X1", "Species": BOA, "Sex": "M", "Born": 2015, "Genes": "Motley"},
            {"ID": "F1", "Species": BOA, "Sex": "F", "Born": date(2019, 7, 1), "Genes": "Motley, 50% het Anery",
             "Sire": "X1", "Dam": "D1", "Notes": "shared with Ben"},
        ],
        "Pairings": [{"Pairing": "P1", "Season": 2019, "Dam": "D1", "Sire": "X1"}],
        "Hatch results": [
            {"Pairing": "P1", "Date": date(2019, 7, 1), "Genes": "normal", "Count": 5},
            {"Pairing": "P1", "Date": date(2019, 7, 1), "Genes": "Motley", "Count": 4},
            {"Pairing": "P1", "Date": date(2019, 7, 1), "Genes": "Motley", "Animal": "F1"},
        ],
    }  # fmt: skip


def ben(called: str = "F1") -> Sheets:
    """He had her on loan and paired her with a visual male: that she is het shows in his book alone."""
    return {
        "Species": SPECIES,
        "Genes": GENES,
        "Animals": [
            {"ID": called, "Species": BOA, "Sex": "F", "Born": 2019, "Status": "on loan", "Notes": "Shared: Ann's"},
            {"ID": "X1", "Species": BOA, "Sex": "M", "Born": 2018, "Genes": "Anery"},
            {"ID": "Y1", "Species": BOA, "Sex": "F", "Born": date(2023, 8, 1), "Genes": "Motley, het Anery",
             "Sire": "X1", "Dam": called},
        ],
        "Pairings": [{"Pairing": "P1", "Season": 2023, "Dam": called, "Sire": "X1"}],
        "Hatch results": [
            {"Pairing": "P1", "Date": date(2023, 8, 1), "Genes": "Motley", "Count": 3},
            {"Pairing": "P1", "Date": date(2023, 8, 1), "Genes": "Anery", "Count": 4},
            {"Pairing": "P1", "Date": date(2023, 8, 1), "Genes": "Motley", "Animal": "Y1"},
        ],
    }  # fmt: skip


def merged() -> Sheets:
    """The two as one book: Ann's animals and pairing as they are, Ben's own with a B before, F1 once."""
    new = {"X1": "BX1", "Y1": "BY1", "P1": "BP1"}
    names = ("ID", "Sire", "Dam", "Pairing", "Animal")
    his = {
        sheet: [{k: new.get(v, v) if k in names else v for k, v in row.items()} for row in rows]
        for sheet, rows in ben().items()
    }
    his["Animals"] = [row for row in his["Animals"] if row["ID"] != "F1"]
    shared = ("Species", "Genes")
    return {sheet: rows if sheet in shared else rows + his[sheet] for sheet, rows in ann().items()}
