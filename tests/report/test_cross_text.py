"""The expected young as text and as JSON."""

import json
from fractions import Fraction

from pipeline.findings.crossing import cross_pair
from pipeline.genetics.genes import Catalogue
from pipeline.report.cross_text import cross_json, cross_text
from tests.findings.test_crossing import BOOK
from tests.genetics.books import collection
from tests.genetics.catalogues import gene

PAIR = """\
Meadow boa: expected young
  dam   B1 (Motley, het Albino)
  sire  B2 (Albino)

Young
  1/4  25 %  Normal, het Albino
  1/4  25 %  Albino
  1/4  25 %  Motley, het Albino
  1/4  25 %  Motley Albino

Shares are what chance gives on average; one clutch may well differ.
Inbreeding of the young: none by the recorded pedigree."""


def test_cross_text__one_pair_as_it_is_printed() -> None:
    assert cross_text(cross_pair(BOOK, "B1", "B2")) == PAIR


def test_cross_text__sexes_apart_with_losses_and_cautions() -> None:
    text = cross_text(cross_pair(BOOK, "C1", "C2"))
    daughters, sons = text.index("\nDaughters\n"), text.index("\nSons\n")
    assert daughters < text.index("Ember Veil") < sons < text.index("  1/3  33.3 %  Ember, 50% het Veil")
    assert "Daughters and sons differ; each share is of all young." in text
    assert (
        "Lost before hatching or birth: 1/4 (25 %) of what was conceived; the shares are of the rest." in text
    )
    assert "Caution: Ember: Two copies die in the egg." in text


def test_cross_text__columns_line_up_and_morph_names_show_their_genes() -> None:
    text = cross_text(cross_pair(BOOK, "het Snow", "Moonglow", "Meadow boa"))
    rows = [line for line in text.splitlines() if line.startswith("  ") and "%  " in line]
    assert len({line.index(" %  ") for line in rows}) == 1
    assert any(line.endswith("Moonglow  = Hypo Albino Anery") for line in rows)


def test_cross_text__kin_and_what_is_not_listed() -> None:
    assert "Inbreeding of the young: 25 % (through B2 25 %)." in cross_text(cross_pair(BOOK, "B3", "B2"))
    names = [f"G{i:02d}" for i in range(8)]
    known = Catalogue("Meadow boa", tuple(gene(name, "incomplete dominant") for name in names))
    text = cross_text(cross_pair(collection(catalogues=(known,)), " ".join(names), " ".join(names)))
    assert "and 6,521 rarer kinds, 94.2 % of the young together." in text


def test_cross_json__plain_values_with_exact_shares() -> None:
    found = json.loads(cross_json(cross_pair(BOOK, "C1", "C2")))
    assert found["dam"] == {"called": "C1", "animal": "C1", "label": "Ember"}
    assert sum(Fraction(young["share"]) for young in found["young"]) == 1
    assert found["lost"] == {"share": "1/4", "probability": 0.25}
    assert {young["sex"] for young in found["young"]} == {"F", "M"}
    assert (found["inbreeding_of_young"], found["common_ancestors"], found["unlisted_classes"]) == (
        0.0,
        {},
        0,
    )
