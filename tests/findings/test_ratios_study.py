"""A simulated collection whose records are all right: no test may cry wolf more often than its level. Run with -m study."""

from fractions import Fraction

import numpy as np
import pandas as pd
import pytest

from pipeline.findings.ratios import ratio_findings
from pipeline.genetics.collection import Collection, Pairing
from pipeline.genetics.crosses import Parent, cross, parent_from
from pipeline.genetics.genes import SexChromosomes
from tests.findings.ratio_books import animal, catalogue, collection, dominant, incomplete, recessive, young

GENES = catalogue(
    recessive("Albino"),
    recessive("Anery"),
    recessive("Lilac", linked_locus="Albino", recombination=0.1),
    recessive("White", sex_linked=True),
    incomplete("Pearl", lethal=True),
    incomplete("Motley"),
    dominant("Ghost"),
    sex_chromosomes=SexChromosomes.ZW,
)


def some_label(sex: str, generator: np.random.Generator) -> str:
    """A label that leaves room: hets, possible hets, dominants of one or two copies."""
    shown = [name for name in ("Pearl", "Motley", "Ghost") if generator.random() < 0.3]
    carried = []
    for name in ("Albino", "Anery", "Lilac", "White"):
        draw = generator.random()
        if draw < 0.15:
            shown.append(name)
        elif draw < 0.55 and (name != "White" or sex == "M"):
            carried.append(f"het {name}" if draw < 0.4 else f"66% het {name}")
    return ", ".join([" ".join(shown) or "normal", *carried])


def some_parent(label: Parent, generator: np.random.Generator) -> Parent:
    """What the animal really is: one of the diplotypes its label allows, each as likely."""
    groups = []
    for weights in label.groups:
        options = list(weights)
        groups.append({options[generator.integers(len(options))]: Fraction(1)})
    return Parent(label.sex, tuple(groups))


def season(generator: np.random.Generator) -> tuple[Collection, pd.DataFrame]:
    """60 pairings of 20 animals, two clutches each, some young unsexed and some genes unread."""
    animals = [animal(f"A{i}", sex, some_label(sex, generator), GENES) for i in range(10) for sex in "F"]
    animals += [animal(f"B{i}", sex, some_label(sex, generator), GENES) for i in range(10) for sex in "M"]
    truth = {a.id: some_parent(parent_from(a.label, a.sex, GENES), generator) for a in animals}
    pairings, rows = [], []
    for k in range(60):
        dam, sire = f"A{generator.integers(10)}", f"B{generator.integers(10)}"
        pairings.append(Pairing(f"P{k}", "Pea", 2024, dam, sire))
        kinds = cross(truth[dam], truth[sire], GENES).classes()
        shares = np.array([float(kind.probability) for kind in kinds])
        for clutch in (1, 2):
            for drawn in generator.choice(len(kinds), generator.integers(4, 25), p=shares / shares.sum()):
                kind = kinds[drawn]
                more = {
                    "pairing": f"P{k}",
                    "clutch": clutch,
                    "sex": kind.sex if generator.random() < 0.6 else None,
                }
                more["unreadable"] = "Anery" if generator.random() < 0.2 else None
                rows.append(
                    (" ".join(name for look in kind.looks.values() for name in look) or "normal", 1, more)
                )
    return collection(GENES, animals, pairings), young(rows)


@pytest.fixture(scope="module")
def seasons():
    found = [ratio_findings(*season(np.random.default_rng(i)), seed=1) for i in range(8)]
    return {
        name: pd.concat([getattr(f, name) for f in found]) for name in ("tests", "parts", "heterogeneity")
    }


def false_alarms(p: pd.Series) -> tuple[float, float]:
    """The share of p-values below 5 %, and 5 % with three standard errors (tests of one litter count as half)."""
    p = p.dropna()
    return (p < 0.05).mean(), 0.05 + 3 * np.sqrt(0.05 * 0.95 / (len(p) / 2))


@pytest.mark.study
@pytest.mark.parametrize("scope", ["clutch", "pairing", "gene"])
def test_ratio_findings__keep_their_level_in_a_sound_collection(seasons, scope):
    own = seasons["tests"].query("scope == @scope")
    share, most = false_alarms(own["p"])
    assert share <= most
    assert (own["verdict"] == "impossible").sum() == 0
    assert (own["verdict"] == "departs").mean() < 0.01


@pytest.mark.study
@pytest.mark.parametrize("part", ["segregation", "linkage"])
def test_parts__keep_their_level_in_a_sound_collection(seasons, part):
    share, most = false_alarms(seasons["parts"].query("part == @part")["p"])
    assert share <= most


@pytest.mark.study
def test_heterogeneity__keeps_its_level_in_a_sound_collection(seasons):
    share, most = false_alarms(seasons["heterogeneity"]["p_heterogeneity"])
    assert share <= most
    assert (seasons["heterogeneity"]["chi_square_heterogeneity"] > -1e-9).all()
