"""Workbooks of one sheet with nothing but what must be there, the sheet's XML written by the test."""

from pathlib import Path

from tests.hostile import files


def by_hand(path: Path, rows: str) -> Path:
    """A sheet Weights of these rows: no styles, no stated size, no shared strings."""
    sheet = f'<worksheet xmlns="{files.MAIN}"><sheetData>{rows}</sheetData></worksheet>'
    return files.book(path, {files.SHEET: sheet}, "Weights")


def inline(*values: object) -> str:
    """A row of cells without references, texts inline."""
    cells = (
        f"<c><v>{value}</v></c>"
        if isinstance(value, (int, float))
        else f'<c t="inlineStr"><is><t>{value}</t></is></c>'
        for value in values
    )
    return f"<row>{''.join(cells)}</row>"
