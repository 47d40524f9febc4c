"""What a table of findings is: its name, its title, and its columns, declared one a line of text."""

from dataclasses import dataclass


@dataclass(frozen=True)
class FindingsColumn:
    """One column: its DuckDB type and what it tells a keeper. Probabilities are 0..1, weights g, lengths cm."""

    name: str
    type: str
    meaning: str


@dataclass(frozen=True)
class FindingsTable:
    """One table of answers. `title` heads its sheet in findings.xlsx and its section of the page."""

    name: str
    title: str
    meaning: str
    columns: tuple[FindingsColumn, ...]

    @property
    def names(self) -> list[str]:
        """Its columns, in order, `book` first."""
        return [column.name for column in self.columns]


def columns(text: str) -> tuple[FindingsColumn, ...]:
    """One column a line: name, type, meaning, separated by ' | '."""
    lines = ["book | VARCHAR | The workbook.", *filter(None, map(str.strip, text.splitlines()))]
    return tuple(FindingsColumn(*(part.strip() for part in line.split("|"))) for line in lines)
