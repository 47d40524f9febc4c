"""What README.md says by hand and quotes is what the program reckons and says."""

import re
import shlex
from datetime import date
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from pipeline import first_run, sentences
from pipeline.cli import main
from pipeline.workbook.template import write_book
from tests.endtoend.running import findings_of, only

README = (Path(__file__).resolve().parents[2] / "README.md").read_text(encoding="utf-8")
BOA, AS_OF = "Common boa", date(2025, 11, 1)
GENES = [{"Species": BOA, "Gene": "Albino", "Inheritance": "recessive"}]
PAIRINGS = {"A": "F1 M1", "B": "F2 M1", "C": "F3 M1", "D": "F4 M4", "E": "F5 M1"}


def animal(name, genes, **more):
    sex = name[0] if name[0] in "FM" else "F"
    return {"ID": name, "Species": BOA, "Sex": sex, "Born": 2018, "Genes": genes, **more}


def hatched(pairing, normal, albino):
    rows = [("normal", normal), ("Albino", albino)]
    return [{"Pairing": pairing, "Date": date(2025, 7, 1), "Genes": g, "Count": n} for g, n in rows if n]


def rows_of(heading: str) -> list[list[str]]:
    """The rows of the first table below a heading, cell by cell."""
    below = README.split(heading, 1)[1]
    lines = re.search(r"(?:^\|.*\n)+", below, re.MULTILINE)[0].splitlines()[2:]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]


@pytest.fixture(scope="module")
def tests(tmp_path_factory):
    """The ratio tests of the five pairings, with the young that README gives them."""
    path = tmp_path_factory.mktemp("readme") / "five.xlsx"
    animals = [animal(name, "het Albino") for name in ("F1", "F2", "F3", "F5", "M1")]
    animals += [animal("F4", "Albino"), animal("M4", "normal")]
    counted = [hatched(row[0], int(row[1]), int(row[2])) for row in rows_of("### The same by hand")]
    pairs = [dict(zip(("Dam", "Sire"), pair.split(), strict=True)) for pair in PAIRINGS.values()]
    book = {
        "Genes": GENES,
        "Animals": animals,
        "Pairings": [
            {"Pairing": name, "Season": 2025, **pair} for name, pair in zip(PAIRINGS, pairs, strict=True)
        ],
        "Hatch results": [row for rows in counted for row in rows],
    }
    write_book(path, book)
    return findings_of(path, AS_OF)["ratio_tests"]


@pytest.mark.parametrize("row", rows_of("### The same by hand"), ids=lambda row: row[0])
def test_readme__verdicts_by_hand_are_those_of_the_program(tests, row):
    name, normal, albino, expected, chi_square, p, q, verdict = row
    found = only(tests, scope="pairing", pairing=name, gene=None)
    assert (found["verdict"], found["n"]) == (verdict, int(normal) + int(albino))
    if name in "ABC":
        one, other = (float(number) for number in expected.split(":"))
        by_hand = (int(normal) - one) ** 2 / one + (int(albino) - other) ** 2 / other
        assert float(chi_square.rpartition("= ")[2]) == pytest.approx(by_hand, abs=0.005)
        assert found["chi_square"] == pytest.approx(by_hand)
        for said, number in ((p, found["p"]), (q, found["q"])):
            assert float(said) == pytest.approx(number, abs=0.5 * 10 ** -len(said.partition(".")[2]))


def chance_of_het(folder: Path, basis: str) -> float:
    """That a 50% het is het after five normal young by an Albino male of that label basis."""
    rows = {
        "Genes": GENES,
        "Animals": [animal("F1", "50% het Albino"), animal("M1", "Albino", **{"Label basis": basis})],
        "Pairings": [{"Pairing": "A", "Season": 2025, "Dam": "F1", "Sire": "M1"}],
        "Hatch results": hatched("A", 5, 0),
    }
    write_book(folder / f"{basis}.xlsx", rows)
    odds = findings_of(folder / f"{basis}.xlsx", AS_OF)["carrier_odds"]
    return only(odds, animal="F1")["p_one"]


def test_readme__the_carrier_by_hand(tmp_path):
    """Bayes' rule: 1/2 * 1/32 against 1/2 * 1."""
    assert "1/33 = 3 %" in README and "1 − (½)⁵ = 97 %" in README
    assert (f"{1 / 33:.0%}", f"{1 - 0.5**5:.0%}") == ("3%", "97%")
    assert "proveout says 5 %, if the male is proved" in README and "as Albino it says 8 %" in README
    assert chance_of_het(tmp_path, "proved") == pytest.approx(0.05, abs=0.005)
    assert chance_of_het(tmp_path, "seller") == pytest.approx(0.08, abs=0.005)


def said(*words) -> str:
    return CliRunner().invoke(main, [str(word) for word in words]).output


@pytest.fixture(scope="module")
def everything_said(tmp_path_factory):
    """What the program says of a book with the usual slips, of files that are none, and of a taken folder."""
    folder = tmp_path_factory.mktemp("slips")
    book, marker = folder / "slips.xlsx", folder / "~$slips.xlsx"
    animals = [
        animal("B1", "double het Albino, Anery"), animal("B2", "Albno"), animal("B2", "normal"),
        animal("B3", "normal", Sire="B1", Dam="B9"), animal("B4", "normal", Born="03/04/2020"),
    ]  # fmt: skip
    genes = [*GENES, {**GENES[0], "Gene": "Anery"}]
    write_book(book, {"Genes": genes, "Animals": animals, "Species": [{"Species": BOA}]})
    marker.touch()
    (folder / "taken").mkdir()
    (folder / "taken" / "diary.txt").touch()
    told = [said("check", path) for path in (book, marker, folder / "gone.xlsx")]
    return "\n".join([*told, said("season", book, "--out", folder / "taken")])


OF_THE_SET_UP = ("proveout needs Python 3.11 or newer", "The set-up stopped at", "A library is missing")


@pytest.mark.parametrize("words", [row[0].strip("`") for row in rows_of("## When something is refused")])
def test_readme__quotes_what_the_program_says(everything_said, words):
    if words in OF_THE_SET_UP:
        assert words in Path(first_run.__file__).read_text() + Path(sentences.__file__).read_text()
    else:
        assert words in everything_said


def commands() -> list[list[str]]:
    """Every command that README spells out with its book, as words without the program's name."""
    blocks = [line.split("   ")[0] for line in README.splitlines() if line.startswith(".venv/bin/proveout ")]
    spans = re.findall(r"`((?:proveout \w+|new) [^`]*\.xlsx[^`]*)`", README)
    written = [re.sub(r"^(\.venv/bin/)?proveout ", "", text) for text in (*blocks, *spans) if "C:" not in text]
    return [shlex.split(text.replace("*", "one")) for text in written]


def boas(path: Path) -> None:
    """A small book in which what the commands name is known."""
    path.parent.mkdir(exist_ok=True)
    motley = {**GENES[0], "Gene": "Motley", "Inheritance": "incomplete dominant"}
    book = {"Species": [{"Species": BOA}], "Genes": [*GENES, motley], "Animals": [animal("F1", "het Albino")]}
    write_book(path, book)


@pytest.mark.parametrize("words", commands(), ids=" ".join)
def test_readme__its_commands_work(words, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(click, "launch", lambda address: 0)
    for word in words[2:] if words[0] == "new" else words:
        if word.endswith(".xlsx"):
            boas(tmp_path / word)
    result = CliRunner().invoke(main, words)
    assert result.exit_code == 0, result.output


def test_readme__names_every_command_and_no_option_that_is_none():
    options = {opt for command in main.commands.values() for param in command.params for opt in param.opts}
    named = set(re.findall(r"(?<![\w-])--[a-z][a-z-]+", README))
    assert len(commands()) >= 7 and named - options == set()
    assert [name for name in main.commands if f"`{name}" not in README] == []
