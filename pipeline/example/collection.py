"""The demo collection, whole: `proveout new --example`. Invented throughout, and the same on every run."""

from datetime import date
from pathlib import Path
from random import Random
from typing import Any

from pipeline.example.boas import boas
from pipeline.example.corns import corns
from pipeline.example.genes import BOA, CORN, SPECIES_ROWS, gene_rows, morph_rows
from pipeline.example.market import price_rows
from pipeline.example.planted import Planted
from pipeline.example.weighings import weighing_rows
from pipeline.example.world import World

SEED = 54
AS_OF = date(2026, 11, 1)
"""The day the demo book was last written to; its season is 2026."""
TITLE = "An invented demo collection: no animal, keeper, gene line or price in it is real."

_GOALS = [
    {"Goal": "Ghost Leopard", "Species": BOA, "Genes": "Ghost Leopard", "Wanted by": 2032, "Priority": 1},
    {"Goal": "Motley Ghost", "Species": BOA, "Genes": "Motley Ghost", "Wanted by": 2031, "Priority": 2},
    {"Goal": "Ember Snow", "Species": CORN, "Genes": "Ember Snow", "Wanted by": 2030, "Priority": 3},
]
_SETTINGS = {"Keeper": "Invented demo collection", "Rate EUR": 1.08}


def example_rows(seed: int = SEED) -> tuple[dict[str, list[dict[str, Any]]], tuple[Planted, ...]]:
    """Every sheet's rows by column name, and what was planted in them."""
    rng = Random(seed)
    boa = World(BOA, "B", rng, ((2, 1), (4, 10), 110))
    corn = World(CORN, "C", rng, ((3, 1), (5, 5), 62))
    planted = boas(boa) + corns(corn)
    boa.finish(sexed=True)
    corn.finish(sexed=False)
    animals, pairings = boa.animals + corn.animals, boa.pairings + corn.pairings
    rows = {
        "Species": SPECIES_ROWS,
        "Genes": gene_rows(),
        "Morph names": morph_rows(),
        "Animals": animals,
        "Pairings": sorted(pairings, key=lambda row: (row["Season"], row["Pairing"])),
        "Hatch results": sorted(boa.hatch + corn.hatch, key=lambda row: (row["Date"], row["Pairing"])),
        "Weights": sorted(
            weighing_rows(animals, pairings, AS_OF, rng), key=lambda row: (row["Date"], row["Animal"])
        ),
        "Prices": price_rows(AS_OF, rng),
        "Goals": _GOALS,
        "Settings": [{"Setting": name, "Value": value} for name, value in _SETTINGS.items()],
    }
    return rows, planted


def write_example(path: Path) -> tuple[Planted, ...]:
    """Write the demo book; RequestError where the file exists. Returns what was planted."""
    from pipeline.workbook.template import write_book

    rows, planted = example_rows()
    write_book(path, rows, title_note=TITLE)
    return planted
