"""Writes workbooks/ anew: the blank book, the demo collection, and the list of what is planted in it."""

from pathlib import Path

from pipeline.example.collection import write_example
from pipeline.example.planted import planted_list
from pipeline.example.weighings import MISHAPS
from pipeline.workbook.template import write_book

WORKBOOKS = Path(__file__).resolve().parent.parent.parent / "workbooks"


def main() -> None:
    """Replace the three files."""
    WORKBOOKS.mkdir(exist_ok=True)
    for name in ("blank.xlsx", "demo.xlsx"):
        (WORKBOOKS / name).unlink(missing_ok=True)
    write_book(WORKBOOKS / "blank.xlsx")
    planted = write_example(WORKBOOKS / "demo.xlsx")
    (WORKBOOKS / "demo-planted.md").write_text(planted_list(planted, MISHAPS), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
