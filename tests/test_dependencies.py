"""Every library the project asks for has its reason and its licence in DEVELOPERS.md."""

import re
import tomllib
from importlib.metadata import metadata
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
_ROW = re.compile(r"^\| (?P<name>[\w-]+) \| (?P<licence>[^|]+) \| (?P<reason>[^|]+) \|$", re.MULTILINE)


def _wanted(*extras: str) -> set[str]:
    """Names in pyproject.toml: what the program needs, and what the extras named do; without a name, all of them."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    optional = project["optional-dependencies"]
    wanted = [name for extra in extras or optional for name in optional[extra]]
    return {re.split(r"[\[<>=!~ ]", text)[0] for text in (*project["dependencies"], *wanted)}


def _listed() -> dict[str, str]:
    """Name and licence of each row of the section."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    section = text.split("## Why each dependency is here")[1].split("\n## ")[0]
    return {row["name"]: row["licence"] for row in _ROW.finditer(section) if row["name"] != "library"}


def test_dependencies__each_has_a_reason_and_a_licence() -> None:
    assert set(_listed()) == _wanted()


@pytest.mark.parametrize("name", sorted(_wanted("tests")))
def test_dependencies__the_licence_is_what_the_package_says_of_itself(name: str) -> None:
    about = metadata(name)
    said = " ".join(
        str(words)
        for key in ("License-Expression", "License", "Classifier")
        for words in about.get_all(key) or []
        if key != "Classifier" or words.startswith("License")
    ).upper()
    families = {"PSF-2.0": ("PSF", "PYTHON SOFTWARE FOUNDATION"), "GPL-3.0": ("GENERAL PUBLIC LICENSE",)}
    licence = _listed()[name]
    assert any(word in said for word in families.get(licence, (licence.split("-")[0].upper(),))), (
        licence,
        said,
    )
