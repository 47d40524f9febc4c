"""`proveout plan` as a keeper meets it."""

import pytest
from click.testing import CliRunner

from pipeline.cli import main
from pipeline.workbook.template import write_book
from tests.endtoend.small import SMALL


def run(*words):
    result = CliRunner().invoke(main, ["plan", *map(str, words)])
    if result.exception and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    from pipeline.example.collection import write_example

    path = tmp_path_factory.mktemp("demo") / "demo.xlsx"
    write_example(path)
    return path


def test_plan__demo_pairs_and_the_way_to_every_goal_the_same_each_time(demo):
    text, again = (run(demo, "--as-of", "2026-11-01", "--seed", "5").output for _ in range(2))
    assert text == again
    for goal in ("Ghost Leopard", "Motley Ghost", "Ember Snow"):
        assert f"\n{goal}: the quickest way\n" in text
    assert "Common boa: pairs proposed for 2027" in text
    assert max(map(len, text.splitlines())) <= 80


def test_plan__bad_goals_are_sentences_and_the_book_stays_as_it_is(tmp_path):
    goals = [
        {"Goal": "Far", "Species": "Common boa", "Genes": "Moonstone"},
        {"Goal": "Own", "Species": "Common boa", "Genes": "normal"},
    ]
    path = tmp_path / "book.xlsx"
    write_book(path, {**SMALL, "Goals": goals})
    before = path.read_bytes()
    result = run(path, "--as-of", "2025-11-01")
    assert result.exit_code == 0
    assert "names no gene that passes by Mendel's rules" in " ".join(result.output.split())
    assert path.read_bytes() == before


def test_plan__no_book_is_one_sentence(tmp_path):
    result = run(tmp_path / "none.xlsx")
    assert result.exit_code == 2 and "Traceback" not in result.output
