"""Old lists, invented: a CSV file as a spreadsheet program of a country with decimal commas saves it, and a workbook."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path

import pytest

from pipeline.workbook.bringing.bring import Brought, bring, write_brought
from pipeline.workbook.reading import read_book

SEMICOLONS = """Snake;Kind;M/F;DOB;Genetics;Mother;Father;Wt (kg);Last weighed;Cost;Vet;Remarks
Luna;Corn snake;female;14.06.2019;Amel het Stripe;;;0,652;03/25/2024;120,50;ok;shy
Bruno;Corn snake;male;2018;Stripe, 66% het Amel;;;0,41;04/05/2024;;;"eats; well"
Kit;Corn snake;unsexed;2021-07-01;Amel Stripe;Luna;Bruno;0,2;04/06/2024;"1.200,00";teeth;=1+1
"""

THREE_SHEETS = {
    "My snakes": [
        ["My collection, printed in May"],
        [],
        ["No.", "Called", "What", "Gender", "Hatched", "Looks like", "Mum", "Dad", "Where now"],
        ["K1", "Ember", "Corn snake", "F", date(2018, 6, 1), "Amel", None, None, "here"],
        ["K2", "Coal", "Corn snake", "M", 2017, "het Amel, het Stripe", None, None, "here"],
        ["K3", "Dot", "Corn snake", "F", date(2022, 7, 9), "Amel het Stripe", "Ember", "Coal", "sold"],
    ],
    "Breeding log": [
        ["Female", "Male", "Introduced", "Eggs laid on", "Hatched", "What hatched", "Live babies", "Slugs", "Eggs", "Comment"],
        ["K1", "K2", date(2022, 2, 3), date(2022, 5, 1), date(2022, 7, 9), "Amel", 6, 2, 14, "all fine"],
        ["K1", "K2", date(2022, 2, 3), None, date(2022, 7, 9), "normal", 5, None, None, None],
        ["K1", "K2", date(2023, 2, 3), date(2023, 5, 2), date(2023, 7, 8), "Amel", 4, 0, 9, None],
    ],
    "Weigh ins": [
        ["Snake", date(2022, 8, 1), date(2022, 9, 1), "2022-10-01"],
        ["K3", 12, "15 g", 19],
        ["Ember", 600, None, "0.61 kg"],
    ],
    "Shopping": [["mice", 30], ["bedding", "2 bags"]],
}  # fmt: skip


@pytest.fixture
def semicolons(tmp_path: Path) -> Path:
    path = tmp_path / "old.csv"
    path.write_bytes(SEMICOLONS.encode("cp1252"))
    return path


@pytest.fixture
def three_sheets(make_book: Callable[..., Path]) -> Path:
    return make_book(THREE_SHEETS, "old.xlsx")


@pytest.fixture
def brought(make_book: Callable[..., Path]) -> Callable[..., Brought]:
    """brought({"Animals": [{"ID": "B1", "Mother": "B2"}]}, species="Boa"): an old workbook, understood."""

    def build(rows_by_sheet: Mapping[str, Sequence], **wishes: object) -> Brought:
        return bring(make_book(rows_by_sheet, "old.xlsx"), **wishes)

    return build


@pytest.fixture
def new_tables(tmp_path: Path) -> Callable[[Brought], Mapping]:
    """The tables of the book that comes of it, as our reading finds them."""

    def build(found: Brought) -> Mapping:
        write_brought(found, tmp_path / "new.xlsx")
        return read_book(tmp_path / "new.xlsx").tables

    return build
