"""A club's books: as many keepers as wanted, each with a collection of his own size, drawn from the evidence model.

Labels err by what they rest on, young are misread, another male is the father, hets are open, genes can't be told, young
are stillborn: as often as the settings' defaults say. Sizes spread as keepers' do: most are small and a few are large, 200
animals and 1,000 young a keeper on average, over ten seasons, exactly so over the whole club.
"""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from itertools import accumulate
from math import ceil
from pathlib import Path
from random import Random

import xlsxwriter

from pipeline.genetics.collection import Settings
from tests.simulate.colony import LAST_SEASON, SPECIES, Colony, Errors, book_of, catalogue_of
from tests.simulate.records import Row

ANIMALS, YOUNG = 200, 1_000
"""A keeper's on average."""
SPREAD = 0.6
"""Standard deviation of the logarithm of a keeper's animals."""
SMALLEST = 20
FIRST_SEASON = 2016
_DEFAULT = Settings()
ERRORS = Errors(
    label={"proved": _DEFAULT.wrong_label_proved, "seller": _DEFAULT.wrong_label_seller},
    sire=_DEFAULT.wrong_sire,
    reading=_DEFAULT.misread,
    unreadable=0.03,
    dead=0.03,
)
CATALOGUE = catalogue_of(("Anery", "Albino", "Leopard"), ("Motley", "Hypo"))
_LABELS = (
    "Anery", "Albino", "Leopard", "het Anery", "het Albino", "het Leopard", "66% het Albino", "50% het Anery", "Motley",
    "Motley, het Anery", "Hypo", "Hypo, 66% het Leopard", "Motley Hypo, het Albino", "normal", "het Anery Albino",
)  # fmt: skip
_MORPHS = ("normal", "Anery", "Leopard", "Albino", "Motley", "Hypo", "Motley Hypo", "Anery Motley")
_GOALS = ("Albino Anery", "Super Motley Albino", "Hypo Leopard")

Sheets = Mapping[str, Sequence[Row]]


def write_keepers(keepers: int, folder: Path, *, seed: int) -> Iterator[Path]:
    """Write the books of a club into a folder, one after the other; yields the path of each once it is there."""
    folder.mkdir(parents=True, exist_ok=True)
    for number, animals in enumerate(sizes(keepers, seed=seed), 1):
        path = folder / f"keeper-{number:04d}.xlsx"
        write_book_of(keeper(animals, seed=seed * 1_000_003 + number), path)
        yield path


def sizes(keepers: int, *, seed: int) -> list[int]:
    """Animals of each keeper, ANIMALS a keeper in all; a keeper has YOUNG / ANIMALS young for each of them."""
    rng = Random(seed)
    shares = [rng.lognormvariate(0, SPREAD) for _ in range(keepers)]
    spare = (ANIMALS - SMALLEST) * keepers
    ends = [round(spare * end / sum(shares)) for end in accumulate(shares)]
    return [SMALLEST + end - start for start, end in zip([0, *ends], ends, strict=False)]


def keeper(animals: int, *, seed: int) -> Sheets:
    """One keeper's book by sheet: exactly so many animals, and YOUNG / ANIMALS times as many young."""
    rng = Random(seed)
    grown = Colony(rng, max(1, animals // 50), CATALOGUE, ERRORS)
    for i in range(max(animals // 5, 6)):
        basis = "proved" if rng.random() < 0.2 else "seller"
        grown.founder(date(2009 + i % 4, 7, 1), rng.choice(_LABELS), "FM"[i % 2], basis)
    _seasons(grown, animals, animals * YOUNG // ANIMALS)
    return {
        **book_of(grown, weights=4 * animals, prices=100 + animals // 4, morphs=_MORPHS),
        "Goals": [{"Goal": "Next look", "Species": SPECIES, "Genes": rng.choice(_GOALS)}],
        "Settings": [{"Setting": "Keeper", "Value": f"Invented keeper {seed}"}],
    }


def _seasons(grown: Colony, animals: int, young: int) -> None:
    """Litters in ten seasons, evenly, until there are so many animals and young."""
    left = young
    for season in range(FIRST_SEASON, LAST_SEASON + 1):
        after = young * (LAST_SEASON - season) // (LAST_SEASON + 1 - FIRST_SEASON)
        dams, sires = grown.grown(season)
        order: list[str] = []
        while left > after:
            order = order or grown.rng.sample(dams, len(dams))
            dam = order.pop()
            size = min(grown.rng.randrange(10, 26), left)
            keep = ceil((animals - len(grown.animals)) * size / left)
            grown.hatch += grown.breed(dam, grown.mates(dam, sires) or sires, season, keep=keep, size=size)
            left -= size


def write_book_of(sheets: Sheets, path: Path) -> None:
    """The book without the template's drop-downs and help, which a reader passes over."""
    with xlsxwriter.Workbook(path, {"default_date_format": "yyyy-mm-dd", "in_memory": True}) as book:
        book.set_properties({"created": datetime(LAST_SEASON, 12, 31)})
        for name, rows in sheets.items():
            headers = list(dict.fromkeys(header for row in rows for header in row))
            page = book.add_worksheet(name)
            page.write_row(0, 0, headers)
            for number, row in enumerate(rows, 1):
                page.write_row(number, 0, [row.get(header) for header in headers])
