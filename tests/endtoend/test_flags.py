"""What each flag of a command changes, and that nothing else does."""

import tomllib

import click
import pytest
from click.testing import CliRunner

from pipeline.cli import main
from tests.faults.standing import ROOT, fingerprint

DAY = ("--as-of", "2025-11-01")


@pytest.fixture
def opened(monkeypatch):
    """The addresses that are handed to the keeper's browser."""
    addresses = []
    monkeypatch.setattr(click, "launch", lambda address: addresses.append(address) or 0)
    return addresses


def run(*words):
    result = CliRunner().invoke(main, [str(word) for word in words])
    assert result.exit_code == 0, result.output
    return result.stdout


def page(folder) -> str:
    return (folder / "report.html").read_text(encoding="utf-8")


def test_season__opens_the_page_if_asked(book, tmp_path, opened):
    run("season", book, "--out", tmp_path / "closed", *DAY)
    assert opened == []
    run("season", book, "--out", tmp_path / "open", "--open", *DAY)
    run("sheet", book, "B3", "--out", tmp_path / "b3.html", "--open", *DAY)
    assert opened == [(tmp_path / name).as_uri() for name in ("open/report.html", "b3.html")]


@pytest.mark.parametrize(("asked", "season"), [((), "2025"), (("--season", "2023"), "2023")])
def test_season__tells_of_the_latest_season_or_of_the_one_asked_for(book, tmp_path, asked, season):
    run("season", book, "--out", tmp_path / "out", *asked, *DAY)
    assert [year for year in ("2023", "2025") if f"Season {year}" in page(tmp_path / "out")] == [season]


@pytest.mark.parametrize(("asked", "seed"), [((), 1), (("--seed", 7), 7)])
def test_season__says_which_seed_it_drew_from(book, tmp_path, asked, seed):
    run("season", book, "--out", tmp_path / "out", *asked, *DAY)
    assert f"seed {seed}" in page(tmp_path / "out")


def test_season__of_one_day_leaves_the_same_files_again(book, tmp_path):
    """All but the database, whose tables are the same (test_repeatable.py) in blocks that DuckDB lays out as it likes."""
    run("season", book, "--out", tmp_path / "one", *DAY)
    run("season", book, "--out", tmp_path / "two", *DAY)
    one, two = (
        {name: digest for name, digest in fingerprint(tmp_path / folder).items() if name != "season.duckdb"}
        for folder in ("one", "two")
    )
    assert len(one) > 3 and one == two


def test_plan__is_the_same_for_one_seed(book):
    assert run("plan", book, "--seed", 3, *DAY) == run("plan", book, "--seed", 3, *DAY)


def test_proveout__is_what_python_m_pipeline_runs():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert project["scripts"] == {"proveout": "pipeline.__main__:main"}
