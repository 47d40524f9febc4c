"""The cautions stand on every page, with their sources and their dates."""

import pytest

from pipeline.report.cautions import CAUTIONS, CITES_AS_OF
from pipeline.report.page import write_page
from pipeline.report.verdicts import VERDICTS
from tests.report.invented import HEAD


@pytest.mark.parametrize(
    "word", ["Feeding harder", "lethal", "kin", "constrictors", "CITES", "promise", "vet", "local"]
)
def test_cautions__every_usual_one_is_given_even_on_an_empty_page(tmp_path, word):
    write_page({}, HEAD, tmp_path / "report.html")
    assert word in (tmp_path / "report.html").read_text(encoding="utf-8")


def test_cautions__a_named_gene_has_a_published_source():
    (genes,) = [one for one in CAUTIONS if one.title == "Genes that hurt"]
    assert "10.1371/journal.pone.0262788" in genes.source and "e1009580" in genes.source


def test_cautions__wildlife_law_is_dated():
    (law,) = [one for one in CAUTIONS if one.title.startswith("Wildlife law")]
    assert law.text.count(f"{CITES_AS_OF:%Y-%m-%d}") == 1 and "read the current one" in law.text


def test_verdicts__each_says_what_it_means_and_what_it_does_not():
    assert {one.word for one in VERDICTS} == {"fits", "strained", "departs", "impossible", "too few"}
    assert len({one.mark for one in VERDICTS}) == 5
    assert all(one.means.endswith(".") and one.not_means.startswith("It ") for one in VERDICTS)
