"""Books for the animal sheet, invented: three full generations of kin with young of their own, and one of hostile texts."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path

from pipeline.workbook.template import write_book
from tests.endtoend.small import BOA

AS_OF = date(2025, 11, 1)
HOSTILE = (
    "<script>alert(1)</script>",
    "\"><img src=x onerror='alert(2)'>",
    "🐍 </style></svg> &amp; {{ 7 * 7 }}",
    "\u202eעברית\u202c and 'quotes'",
    "x" * 10_000,
)
Row = Mapping[str, object]


def _animal(id: str, sex: str, born: int, genes: str, sire: str = "", dam: str = "", **more: object) -> Row:
    return {
        "ID": id, "Species": BOA, "Sex": sex, "Born": date(born, 6, 1), "Genes": genes, "Sire": sire, "Dam": dam, **more,
    }  # fmt: skip


FAMILY = [
    *(_animal(f"G{n}", "MF"[n % 2], 2006, "het Anery" if n == 0 else "normal") for n in range(8)),
    *(
        _animal(f"P{n}", "MF"[n % 2], 2010, "Motley" if n == 1 else "normal", f"G{2 * n}", f"G{2 * n + 1}")
        for n in range(4)
    ),
    _animal("S1", "M", 2014, "Motley", "P0", "P1"),
    _animal("D1", "F", 2014, "normal", "P0", "P3"),
    _animal("K1", "F", 2018, "Motley", "S1", "D1", Name="Fern", Notes="private words", Paid=424242),
    _animal("M1", "M", 2017, "Anery", **{"Label basis": "proved"}),
    _animal("M2", "M", 2017, "normal"),
    _animal("Y1", "F", 2023, "Motley, het Anery", "M1", "K1"),
]
BOOK: dict[str, Sequence[Row]] = {
    "Species": [
        {
            "Species": BOA, "Scientific name": "Boa imperator", "Young": "live", "Sex chromosomes": "XY",
            "Female breeding weight": 2000, "Male breeding weight": 700, "Female breeding age": 36,
            "Rest between litters": 18, "Days to young": 110, "Typical litter": 20,
            "Notes": "Warm side and a cool side.",
        }
    ],
    "Genes": [
        {"Species": BOA, "Gene": "Anery", "Inheritance": "recessive"},
        {
            "Species": BOA, "Gene": "Motley", "Inheritance": "incomplete dominant", "Two copies": "lethal",
            "Welfare note": "Watch the spine.",
        },
    ],
    "Animals": FAMILY,
    "Pairings": [
        {"Pairing": "23-1", "Season": 2023, "Dam": "K1", "Sire": "M1", "Ovulated or laid": date(2023, 3, 9)},
        {"Pairing": "25-1", "Season": 2025, "Dam": "K1", "Sire": "M1", "Other sires": "M2", "Ovulated or laid": date(2025, 3, 9)},
        {"Pairing": "26-1", "Season": 2026, "Dam": "K1", "Sire": "M2"},
    ],
    "Hatch results": [
        {"Pairing": pairing, "Clutch": clutch, "Date": born, "Genes": genes, "Count": count, "Outcome": outcome}
        for pairing, clutch, born in (("23-1", 1, date(2023, 6, 27)), ("23-1", 2, date(2023, 8, 27)), ("25-1", 1, date(2025, 6, 27)))
        for genes, count, outcome in (("normal", 7, "live"), ("Motley", 6, "live"), ("", 2, "stillborn"), ("", 1, "slug"))
    ],
    "Weights": [
        {"Animal": "K1", "Date": date(2019 + n // 2, 1 + 6 * (n % 2), 1), "Weight": weight}
        for n, weight in enumerate((180, 420, 700, 1050, 1400, 1700, 1950, 2150, 2280, 2360, 2400))
    ],
    "Settings": [{"Setting": "Keeper", "Value": "An Invented Keeper"}],
}  # fmt: skip


def family_book(path: Path) -> Path:
    """The family as a book; K1 is its youngest grown animal, her parents half sibs by P0."""
    write_book(path, BOOK)
    return path


def hostile_book(make_book: Callable[..., Path]) -> Path:
    """The same family where every free text is hostile, K1's ID too."""
    rename = {"K1": HOSTILE[0]}
    animals = [
        {
            **{field: rename.get(value, value) for field, value in animal.items()},
            "Name": HOSTILE[n % len(HOSTILE)],
        }
        for n, animal in enumerate(FAMILY)
    ]
    genes = [{**gene, "Welfare note": HOSTILE[4 if n else 1]} for n, gene in enumerate(BOOK["Genes"])]
    rest = {
        name: [{field: rename.get(value, value) for field, value in row.items()} for row in rows]
        for name, rows in BOOK.items()
    }
    species = [{**row, "Notes": HOSTILE[1], "Scientific name": HOSTILE[2]} for row in BOOK["Species"]]
    keeper = [{"Setting": "Keeper", "Value": HOSTILE[3]}]
    return make_book({**rest, "Animals": animals, "Genes": genes, "Species": species, "Settings": keeper})
