"""The house keeps its order: floors, sizes, docstrings, registries and documents that agree with the code."""

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path
from typing import get_args, get_type_hints

import pytest

from pipeline.example.collection import example_rows, write_example
from pipeline.example.planted import Planted
from pipeline.first_run import USAGE
from pipeline.genetics.collection import Settings
from pipeline.reference import with_references
from pipeline.store.database import Store
from pipeline.store.tables import FINDINGS
from pipeline.workbook.reference import column_reference
from pipeline.workbook.sheets import SETTINGS, SHEETS, Kind
from pipeline.workbook.template import write_book

ROOT = Path(__file__).resolve().parent.parent
LONGEST_MODULE, LONGEST_FUNCTION = 350, 60
MODULES = sorted([*(ROOT / "pipeline").rglob("*.py"), *(ROOT / "charts").rglob("*.py")])
TEST_MODULES = sorted((ROOT / "tests").rglob("*.py"))

BASEMENT = {"pipeline", "pipeline.problems", "pipeline.errors", "pipeline.resources"}
"""What every floor may lean on."""
FLOORS = {  # each floor, and the floors below that it may import
    "pipeline.genetics": set(),
    "pipeline.workbook": {"pipeline.genetics"},
    "pipeline.store": {"pipeline.workbook"},
    "pipeline.findings": {"pipeline.genetics", "pipeline.store"},
    "pipeline.example": {"pipeline.genetics", "pipeline.workbook"},
    "pipeline.club": {"pipeline.workbook", "pipeline.store"},
    "charts": set(),
    "pipeline.report": {"charts", "pipeline.findings", "pipeline.genetics", "pipeline.store"},
}
ROOF = {
    "pipeline.season",
    "pipeline.questions",
    "pipeline.weighing",
    "pipeline.one_animal",
    "pipeline.book_check",
    "pipeline.cli",
    "pipeline.sentences",
    "pipeline.__main__",
    "pipeline.first_run",
    "pipeline.reference",
    "pipeline.watching",
}
STANDARD = set(sys.stdlib_module_names)


def name_of(path: Path) -> str:
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imports(path: Path) -> set[str]:
    """Full names of the modules that a file imports, anywhere in it."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: imports are absolute"
            found.add(node.module)
    return found


def floor_of(module: str) -> str | None:
    return next((floor for floor in FLOORS if module == floor or module.startswith(f"{floor}.")), None)


def ids(path: Path) -> str:
    return str(path.relative_to(ROOT))


@pytest.mark.parametrize("path", MODULES, ids=ids)
def test_modules__lower_floors_never_import_higher_ones(path):
    own = name_of(path)
    floor = floor_of(own)
    assert floor or own in BASEMENT | ROOF, f"{own} lies on no floor"
    ours = {name for name in imports(path) if name.split(".")[0] in ("pipeline", "charts")}
    if floor:
        strange = {m for m in ours - BASEMENT if floor_of(m) not in FLOORS[floor] | {floor}}
        assert strange == set()


@pytest.mark.parametrize("path", [p for p in MODULES if floor_of(name_of(p)) == "pipeline.genetics"], ids=ids)
def test_genetics__knows_neither_excel_nor_duckdb_nor_pandas(path):
    others = {name.split(".")[0] for name in imports(path)} - STANDARD - {"pipeline"}
    assert others <= {"numpy", "scipy", "rapidfuzz"}


def test_libraries__each_in_the_room_it_belongs_in():
    """Only the workbook's floor reads Excel, only the store opens DuckDB, only the page fills templates."""
    rooms = {"openpyxl": "pipeline.workbook", "duckdb": "pipeline.store", "jinja2": "pipeline.report"}
    strays = [
        (ids(path), library)
        for path in MODULES
        for library, room in rooms.items()
        if any(name.split(".")[0] == library for name in imports(path)) and floor_of(name_of(path)) != room
    ]
    assert strays == []


def definitions(path: Path) -> Iterator[ast.AST]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            yield node


@pytest.mark.parametrize("path", MODULES, ids=ids)
def test_modules__every_public_name_has_a_docstring(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    assert ast.get_docstring(tree), "the module itself"
    bare = [
        node.name
        for node in tree.body
        if isinstance(node, ast.FunctionDef | ast.ClassDef)
        and not node.name.startswith("_")
        and not ast.get_docstring(node)
    ]
    assert bare == []


@pytest.mark.parametrize("path", [*MODULES, *TEST_MODULES], ids=ids)
def test_modules__fit_in_a_reader_s_head(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= LONGEST_MODULE
    long = [
        (node.name, node.end_lineno - node.lineno + 1)
        for node in definitions(path)
        if isinstance(node, ast.FunctionDef) and node.end_lineno - node.lineno >= LONGEST_FUNCTION
    ]
    assert long == []


@pytest.mark.parametrize("path", [*MODULES, *TEST_MODULES], ids=ids)
def test_modules__leave_nothing_to_do(path):
    marks = "|".join(("TO" + "DO", "FIX" + "ME", "X" * 3, "raise Not" + "ImplementedError"))
    assert re.findall(rf"\b({marks})\b", path.read_text(encoding="utf-8")) == []


def columns_of(store: Store, table: str) -> list[str]:
    return [row[0] for row in store.connection.execute(f"DESCRIBE {table}").fetchall()]


def test_store__record_tables_equal_the_registry():
    with Store() as store:
        for sheet in SHEETS:
            expected = ["book", "sheet", "row"]
            for column in sheet.columns:
                expected += [column.field] + ([f"{column.field}_year"] if column.kind is Kind.DATE else [])
            assert columns_of(store, f"records.{sheet.table}") == expected


def test_store__findings_tables_equal_the_registry():
    with Store() as store:
        for table in FINDINGS:
            assert columns_of(store, f"findings.{table.name}") == table.names
        kept = store.connection.execute(
            "SELECT table_name FROM information_schema.tables WHERE table_schema = 'findings'"
        ).fetchall()
    assert {name for (name,) in kept} == {table.name for table in FINDINGS}


def test_findings__every_table_and_column_says_what_it_means():
    for table in FINDINGS:
        assert table.title and table.meaning.endswith(".")
        assert [column.name for column in table.columns if not column.meaning.endswith(".")] == []


def test_settings__the_dataclass_equals_the_sheet():
    expected = {}
    for setting in SETTINGS:
        share = setting.default / 100 if setting.kind is Kind.PERCENT else setting.default
        expected[setting.field] = share
    found = {field.name: field.default for field in fields(Settings) if field.name != "rates"}
    assert list(found) == list(expected)
    assert found == pytest.approx(expected)


def shell(text: str) -> list[str]:
    return [line.strip() for line in text.splitlines() if line.strip().startswith("python3 -m ")]


def test_readme__its_two_commands_are_those_of_first_run_and_of_ci():
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    demo, tests = shell(readme)
    assert (demo, tests) == ("python3 -m pipeline.first_run demo", "python3 -m pipeline.first_run tests")
    assert demo in USAGE and "`tests`" in USAGE
    assert any(line.startswith(tests) for line in shell((ROOT / ".ci" / "run").read_text(encoding="utf-8")))


def test_readme__its_pictures_and_links_are_there():
    for document in ("README.md", "DEVELOPERS.md"):
        text = (ROOT / document).read_text(encoding="utf-8")
        links = [link for link in re.findall(r"\]\(([^)#:]+)\)", text) if not (ROOT / link).exists()]
        assert links == [], document


def test_developers__holds_the_references_as_the_registries_are():
    """Otherwise: `python -m pipeline.reference`."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert f"<!-- columns -->\n{column_reference()}<!-- /columns -->" in text
    assert with_references(text) == text


def test_workbooks__are_as_the_code_writes_them(tmp_path):
    """Otherwise: `python -m pipeline.example`."""
    write_book(tmp_path / "blank.xlsx")
    write_example(tmp_path / "demo.xlsx")
    for name in ("blank.xlsx", "demo.xlsx"):
        assert (ROOT / "workbooks" / name).read_bytes() == (tmp_path / name).read_bytes(), name


def test_developers__names_every_module_folder():
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    folders = {
        path.parent.relative_to(ROOT).as_posix() for path in MODULES if path.parent != ROOT / "pipeline"
    }
    tops = {"/".join(folder.split("/")[:2]) for folder in folders}
    assert [folder for folder in sorted(tops) if folder.rpartition("/")[2] not in text] == []


def test_developers__names_every_module_beside_the_folders():
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    beside = [path.name for path in MODULES if path.parent == ROOT / "pipeline" and path.stem.strip("_") == path.stem]
    assert [name for name in beside if name not in text] == []


def test_root__holds_what_the_house_allows_and_no_more():
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True)
    if listed.returncode:
        names = {path.name for path in ROOT.iterdir() if not path.name.endswith(".egg-info")}
    else:
        names = {line.split("/")[0] for line in listed.stdout.splitlines()}
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "pipeline", "tests", "workbooks", "charts"}
    assert {name for name in names if not name.startswith(".")} == allowed


PARENTAGE = ("is the sire", "her mate of", "not in the book", "no sire at all")
GENE_RECORDS = (
    "they are two loci",
    "alleles of one",
    "it is dominant",
    "two copies die",
    "part in",
    "young live",
)


def test_example__plants_a_fault_of_every_kind():
    """method: label (carries not, carries unsaid), parentage (four), reading, gene record (six)."""
    _, planted = example_rows()
    kinds = set(get_args(get_type_hints(Planted)["kind"]))
    assert {fault.kind for fault in planted} == kinds == {"label", "parentage", "reading", "gene record"}
    told = " ".join(fault.what for fault in planted)
    assert [
        words for words in (*PARENTAGE, *GENE_RECORDS, "does not carry", "he carries") if words not in told
    ] == []
