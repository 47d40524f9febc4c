"""The command line as a keeper meets it: exit codes, sentences, help, and a book that nobody writes to."""

import json
import subprocess
import sys
from time import perf_counter

import pytest
from click.testing import CliRunner
from openpyxl import load_workbook

from pipeline.cli import main
from pipeline.workbook.template import write_book
from tests.endtoend.small import SMALL

AS_OF = ("--as-of", "2025-11-01")
FASTEST_HELP = 0.3
"""Seconds in which `--help` must be there."""


def run(*words):
    """The finished command; a fault of our own is raised, not hidden in an exit code."""
    result = CliRunner().invoke(main, [str(word) for word in words])
    if result.exception and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


def one_sentence(result):
    """What the command said of its failure: one sentence on standard error, nothing else."""
    assert "Traceback" not in result.output
    assert result.stderr.startswith("proveout: ") and result.stderr.endswith(".\n")
    assert result.stderr.count("\n") == 1
    return result.stderr


@pytest.fixture
def faulty(tmp_path):
    """A book with one row that can't be used."""
    animals = [*SMALL["Animals"], {"ID": "B4", "Species": "Common boa", "Sex": "F", "Genes": "Motly"}]
    write_book(tmp_path / "faulty.xlsx", {**SMALL, "Animals": animals})
    return tmp_path / "faulty.xlsx"


@pytest.fixture
def unreadable(tmp_path):
    (tmp_path / "records.csv").write_text("ID,Species\nB1,Boa\n")
    return tmp_path / "records.csv"


@pytest.mark.parametrize("options", [(), ("--example",)])
def test_new__writes_a_book_that_check_accepts(tmp_path, options):
    path = tmp_path / "new.xlsx"
    result = run("new", path, *options)
    assert (result.exit_code, path.is_file()) == (0, True)
    assert f"Wrote {path}" in result.stdout
    assert run("check", path, "--as-of", "2026-11-01").exit_code == 0


def test_new__never_writes_over_a_book(book):
    before = book.read_bytes()
    result = run("new", book)
    assert result.exit_code == 1
    assert "small.xlsx" in one_sentence(result)
    assert book.read_bytes() == before


def test_new__names_a_folder_that_is_not_there(tmp_path):
    result = run("new", tmp_path / "nowhere" / "new.xlsx")
    assert result.exit_code == 1
    assert "nowhere" in one_sentence(result)


def test_check__exits_by_what_it_found(book, faulty, unreadable):
    assert run("check", book, *AS_OF).exit_code == 0
    result = run("check", faulty, *AS_OF)
    assert result.exit_code == 1
    assert "Motly" in result.stdout and "Motley" in result.stdout
    result = run("check", unreadable)
    assert result.exit_code == 2
    assert "save it as an Excel workbook (.xlsx)" in one_sentence(result)


def test_check__json_names_the_cell(faulty):
    result = run("check", faulty, "--json", *AS_OF)
    problems = [p for p in json.loads(result.stdout) if p["severity"] == "error"]
    assert [(p["sheet"], p["cell"], p["value"]) for p in problems] == [("Animals", "F5", "Motly")]
    assert result.exit_code == 1


def test_check__mark_writes_a_copy(faulty, tmp_path):
    result = run("check", faulty, "--mark", tmp_path / "copy.xlsx", *AS_OF)
    assert (tmp_path / "copy.xlsx").is_file()
    assert "Marked 1 cell in " in result.stdout


def test_check__marks_what_only_the_season_s_weighing_shows(tmp_path):
    """B4's parents carry no Anery as far as the book knows, so its label claims what they don't give."""
    boa, sire = {"Species": "Common boa"}, {"ID": "B5", "Sex": "M", "Genes": "normal"}
    young = {"ID": "B4", "Sex": "F", "Born": 2023, "Genes": "het Anery", "Dam": "B3", "Sire": "B5"}
    dam = {**SMALL["Animals"][2], "Sire": None, "Dam": None, "Born": 2019}
    animals = [*SMALL["Animals"][:2], dam, boa | sire, boa | young]
    write_book(tmp_path / "over.xlsx", {**SMALL, "Animals": animals})
    result = run("check", tmp_path / "over.xlsx", "--mark", tmp_path / "copy.xlsx", *AS_OF)
    assert result.exit_code == 0 and "B4 is written as 100% het Anery" in result.stdout
    cell = load_workbook(tmp_path / "copy.xlsx")["Animals"]["F6"]
    assert cell.value == "het Anery" and "its ancestors give" in cell.comment.text


@pytest.mark.parametrize("words", [("check",), ("season",), ("cross", "B1", "B2"), ("sheet", "B1")])
def test_commands__a_file_that_is_not_there(tmp_path, words):
    command, *rest = words
    result = run(command, tmp_path / "gone.xlsx", *rest)
    assert result.exit_code == 2
    assert "There is no file" in one_sentence(result)


def test_season__exits_by_what_became_of_it(book, unreadable, tmp_path):
    result = run("season", book, *AS_OF)
    assert result.exit_code == 0
    assert result.stdout.splitlines()[-1] == f"Report: {tmp_path / 'small-season' / 'report.html'}"
    assert (tmp_path / "small-season" / "report.html").is_file()
    assert run("season", unreadable).exit_code == 2
    result = run("season", book, "--season", "1999", *AS_OF)
    assert result.exit_code == 1
    assert "its seasons are 2023, 2025" in one_sentence(result)


def test_season__leaves_a_folder_of_other_files_alone(book, tmp_path):
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "diary.txt").write_text("dear diary")
    result = run("season", book, "--out", tmp_path / "mine", *AS_OF)
    assert result.exit_code == 1
    assert "--out" in one_sentence(result)
    assert [path.name for path in (tmp_path / "mine").iterdir()] == ["diary.txt"]


def test_cross__prints_fractions_and_percentages(book):
    result = run("cross", book, "B1", "B2")
    assert result.exit_code == 0
    assert "3/8" in result.stdout and "37.5" in result.stdout


def test_cross__json_adds_up(book):
    found = json.loads(run("cross", book, "B1", "B2", "--json").stdout)
    assert sum(entry["probability"] for entry in found["young"]) == pytest.approx(1, abs=1e-12)


def test_cross__an_unknown_animal_with_the_nearest_id(book):
    result = run("cross", book, "B1x", "B2")
    assert result.exit_code == 1
    said = one_sentence(result)
    assert "B1x" in said and "B1" in said.replace("B1x", "")


def test_sheet__writes_a_page_beside_the_book_and_replaces_only_its_own(book, tmp_path):
    page = tmp_path / "small-B3.html"
    for _ in range(2):
        result = run("sheet", book, "b3", *AS_OF)
        assert (result.exit_code, result.stdout) == (0, f"Sheet: {page}\n")
    assert "What may honestly be claimed" in page.read_text(encoding="utf-8")
    page.write_text("mine")
    result = run("sheet", book, "B3", *AS_OF)
    assert result.exit_code == 1
    assert "is no animal sheet and is not written over" in one_sentence(result)
    assert page.read_text() == "mine"


def test_sheet__an_unknown_animal_with_the_nearest_id(book, tmp_path):
    result = run("sheet", book, "B33", "--out", tmp_path / "page.html")
    assert result.exit_code == 1
    assert one_sentence(result) == "proveout: The book has no animal B33; the nearest ID is B3.\n"
    assert not (tmp_path / "page.html").exists()


COMMANDS = {
    "check": ("check", "BOOK", *AS_OF),
    "check --mark": ("check", "BOOK", "--mark", "FOLDER/marked.xlsx", *AS_OF),
    "season": ("season", "BOOK", "--out", "FOLDER/season", *AS_OF),
    "cross": ("cross", "BOOK", "B1", "B2"),
    "sheet": ("sheet", "BOOK", "B3", "--out", "FOLDER/B3.html", *AS_OF),
    "new": ("new", "BOOK"),
}


@pytest.mark.parametrize("command", COMMANDS)
def test_commands__the_book_is_never_written_to(book, tmp_path, command):
    before, stamp = book.read_bytes(), book.stat().st_mtime_ns
    run(*(word.replace("BOOK", str(book)).replace("FOLDER", str(tmp_path)) for word in COMMANDS[command]))
    assert (book.read_bytes(), book.stat().st_mtime_ns) == (before, stamp)


HELP = {
    (): ("workbook", "report", "only read, never changed", "reptile vet"),
    ("new",): ("blank workbook", "--example", "--from", "--dry-run", "--species", "--place"),
    ("check",): ("cell", "--mark", "--json", "Exits with 0"),
    ("season",): ("whole analysis", "--out", "--season", "--as-of", "--seed", "--open"),
    ("cross",): ("Expected young", "label", "--species", "--json"),
    ("plan",): ("pairs", "goals", "--as-of", "--seed"),
    ("sheet",): ("One animal's page", "ancestors", "--out", "--as-of", "--open"),
}


@pytest.mark.parametrize("command", HELP)
def test_help__says_what_a_command_does(command):
    result = run(*command, "--help")
    assert result.exit_code == 0
    assert [words for words in HELP[command] if words not in " ".join(result.stdout.split())] == []


@pytest.mark.parametrize("name", sorted(main.commands))
def test_help__covers_every_command_and_option(name):
    assert (name,) in HELP
    command = main.commands[name]
    assert command.help
    options = [parameter for parameter in command.params if parameter.param_type_name == "option"]
    assert [option.name for option in options if not option.help] == []


def test_help__is_there_at_once():
    times = []
    for _ in range(5):
        start = perf_counter()
        subprocess.run([sys.executable, "-m", "pipeline", "--help"], check=True, capture_output=True)
        times.append(perf_counter() - start)
    assert min(times) < FASTEST_HELP


def test_help__imports_nothing_heavy():
    code = (
        "import sys, pipeline.cli; from click.testing import CliRunner;"
        "CliRunner().invoke(pipeline.cli.main, ['season', '--help']);"
        "print(*sorted({name.split('.')[0] for name in sys.modules}))"
    )
    loaded = subprocess.run(
        [sys.executable, "-c", code], check=True, capture_output=True, text=True
    ).stdout.split()
    heavy = {"pandas", "numpy", "duckdb", "altair", "scipy", "openpyxl", "jinja2", "vl_convert", "rich"}
    assert heavy & set(loaded) == set()


def test_command__a_process_of_its_own(unreadable):
    """As the keeper runs it: the exit code reaches the shell, the sentence standard error, and no traceback anyone."""
    command = [sys.executable, "-m", "pipeline", "season", str(unreadable)]
    done = subprocess.run(command, capture_output=True, text=True)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("proveout: ") and "Traceback" not in done.stderr
