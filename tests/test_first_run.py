"""The set-up on a fresh machine, without setting up anything."""

import pytest

from pipeline import first_run
from pipeline.example.collection import AS_OF


def test_demo_day__is_the_day_the_demo_ends():
    assert AS_OF.isoformat() == first_run.DEMO_DAY


def test_main__runs_the_demo_as_of_its_own_day(monkeypatch):
    called = []
    monkeypatch.setattr(first_run, "_ready", lambda extra: True)
    monkeypatch.setattr(first_run.subprocess, "call", lambda command, cwd: called.append(command) or 0)
    assert first_run.main(["demo", "--open"]) == 0
    (command,) = called
    assert command[2:4] == ["pipeline", "season"] and command[-3:] == [
        "--as-of",
        first_run.DEMO_DAY,
        "--open",
    ]


@pytest.mark.parametrize("words", [[], ["season"]])
def test_main__says_what_it_can_run(words, capsys):
    assert first_run.main(words) == 1
    assert "Say what to run" in capsys.readouterr().err
