"""The reference in DEVELOPERS.md, written from the registries: `python -m pipeline.reference`."""

from pathlib import Path

from pipeline.store.tables import FINDINGS, FindingsTable
from pipeline.workbook.reference import column_reference

DOCUMENT = Path(__file__).resolve().parent.parent / "DEVELOPERS.md"


def findings_reference() -> str:
    """Markdown: a table for every findings table; ends in one newline."""
    return "\n\n".join(map(_table_part, FINDINGS)) + "\n"


def _table_part(table: FindingsTable) -> str:
    rows = "\n".join(f"| `{column.name}` | {column.type} | {column.meaning} |" for column in table.columns)
    return f"### findings.{table.name}\n\n{table.meaning}\n\n| Column | Type | Meaning |\n| --- | --- | --- |\n{rows}"


def with_references(document: str) -> str:
    """The document with the text between its `<!-- NAME -->` and `<!-- /NAME -->` lines written anew."""
    for name, text in {"columns": column_reference(), "findings": findings_reference()}.items():
        start, end = f"<!-- {name} -->\n", f"<!-- /{name} -->"
        before, rest = document.split(start)
        _, after = rest.split(end)
        document = f"{before}{start}{text}{end}{after}"
    return document


if __name__ == "__main__":
    DOCUMENT.write_text(with_references(DOCUMENT.read_text(encoding="utf-8")), encoding="utf-8", newline="\n")
