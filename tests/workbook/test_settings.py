"""The Settings sheet."""

from dataclasses import asdict

import pandas as pd
import pytest

from pipeline.genetics.collection import Settings
from pipeline.problems import Severity
from pipeline.workbook.settings import find_setting, read_settings
from pipeline.workbook.sheets import SETTINGS, Kind


def frame(*lines: tuple[str, str | None]) -> pd.DataFrame:
    names, values = zip(*lines, strict=True)
    return pd.DataFrame(
        {
            "book": "book.xlsx",
            "sheet": "Settings",
            "row": range(2, 2 + len(lines)),
            "setting": names,
            "value": values,
        }
    )


def faults(*lines: tuple[str, str | None]) -> list[str]:
    return [problem.message for problem in read_settings(frame(*lines))[1]]


def test_read_settings__falls_back_on_the_defaults():
    assert read_settings(None) == (Settings(), [])
    assert read_settings(frame(("Level (%)", None))) == (Settings(), [])


def test_read_settings__has_a_place_for_every_setting_of_the_registry_with_its_default():
    defaults = asdict(Settings())
    for setting in SETTINGS:
        share = setting.kind is Kind.PERCENT
        assert defaults[setting.field] == (pytest.approx(setting.default / 100) if share else setting.default)


@pytest.mark.parametrize(
    ("name", "value", "field", "meant"),
    [
        ("Level (%)", "1", "level", 0.01), ("LEVEL", "1 %", "level", 0.01), ("level(%)", "0,5", "level", 0.005), ("wrong label,bred here", "2", "wrong_label_bred_here", 0.02),
        ("Keeper", "Dune Row", "keeper", "Dune Row"), ("Currency", "eur", "currency", "EUR"), ("Currency", "€", "currency", "EUR"), ("Seed", "7.0", "seed", 7),
        ("Hatchling places", "40", "hatchling_places", 40), ("Hatchling places", "no limit", "hatchling_places", None),
        ("Season starts (month)", "10", "season_starts", 10), ("Season starts", "10", "season_starts", 10),
    ],
)  # fmt: skip
def test_read_settings__reads_names_loosely_and_percentages_as_shares(name, value, field, meant):
    settings, problems = read_settings(frame((name, value)))
    assert getattr(settings, field) == (pytest.approx(meant) if isinstance(meant, float) else meant)
    assert problems == []


def test_read_settings__reads_rates():
    settings, problems = read_settings(frame(("Rate EUR", "1.08"), ("rate gbp", "1,27"), ("Rate €", None)))
    assert settings.rates == {"EUR": 1.08, "GBP": 1.27}
    assert problems == []


@pytest.mark.parametrize(
    ("name", "value", "message"),
    [
        ("Levle", "5", "Setting 'Levle' is none of those that are known; the line is left out."),
        (
            "Level (%)",
            "60",
            "Setting 'Level (%)' is 60, which lies outside 0.001 to 50; the default is used.",
        ),
        ("Pairs per male", "2.5", "Setting 'Pairs per male' is not a whole number; the default is used."),
        ("Seed", "-1", "Setting 'Seed' is -1, which lies outside 0 or more; the default is used."),
        ("Misread", "few", "Setting 'Misread' is not one plain number; the default is used."),
        ("Misread", "?", "Setting 'Misread' has '?' for its value; the default is used."),
        (
            "Currency",
            "dubloons",
            "Setting 'Currency' is no currency with a single reading; the default is used.",
        ),
        ("Rate EUR", "0", "Setting 'Rate EUR' needs a number above zero; the line is left out."),
    ],
)
def test_read_settings__says_what_can_not_be_used(name, value, message):
    assert faults((name, value)) == [message]
    assert read_settings(frame((name, value)))[0] == Settings()


def test_read_settings__names_the_nearest_setting_and_the_cell():
    (problem,) = read_settings(frame(("Wrong sier (%)", "2")), {"setting": "A", "value": "B"})[1]
    assert problem.severity is Severity.ERROR
    assert problem.hint == "Did you mean 'Wrong sire (%)'?"
    assert problem.place.cell == "B2"


def test_read_settings__takes_the_first_of_two_lines():
    settings, (problem,) = read_settings(frame(("Seed", "3"), ("seed", "4")))
    assert settings.seed == 3
    assert problem.message.startswith("Setting 'seed' stands twice")


def test_find_setting__knows_the_names_only():
    assert find_setting("inbreeding at most").field == "inbreeding_at_most"
    assert find_setting("Rate EUR") is None
