"""Characters that a workbook writes as _xHHHH_, by their number (ECMA-376 part 1, 22.9.2.19, ST_Xstring)."""

import re
from collections.abc import Iterable

_ESCAPED = re.compile("_x([0-9A-Fa-f]{4})_")


def decoded(text: str) -> str:
    """The text as Excel shows it: each _xHHHH_ is the character of that number, and one that nobody sees is left out."""
    return _ESCAPED.sub(_character, text) if "_x" in text else text


def decoded_row(row: Iterable[object]) -> list[object]:
    """A row's cells, its texts decoded."""
    return [decoded(value) if isinstance(value, str) else value for value in row]


def encoded(text: str) -> str:
    """The text as a workbook must hold it so that what looks like such a character is shown as it stands."""
    return re.sub(f"_(?={_ESCAPED.pattern[1:]})", "_x005F_", text) if "_x" in text else text


def _character(match: re.Match[str]) -> str:
    character = chr(int(match[1], 16))
    if "\ud800" <= character <= "\udfff":
        return match[0]
    return character if character.isprintable() or character in "\t\n" else ""
