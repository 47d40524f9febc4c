"""One planted fault in each of many simulated collections: is the right cause named first, where it could be known?"""

from collections import Counter
from dataclasses import replace

import pytest

from pipeline.genetics.collection import Settings
from pipeline.genetics.suspicions.answer import Suspect, suspicions
from tests.findings.suspicions.test_calibration import is_wrong
from tests.simulate.faults import simulated

KINDS = ("label", "parentage", "gene record", "reading")
SETTINGS = Settings()
KNOWABLE = 0.95
"""A fault could be known where the posterior gives it at least this when only faults of its own family can be."""
RARE = 1e-3
"""By how much all other kinds of faults are made rarer for that."""
RATES = {
    "label": ("wrong_label_seller", "background_carrier"),
    "parentage": ("wrong_sire",),
    "gene record": ("wrong_gene_record",),
    "reading": ("misread",),
}


def _own_family(kind):
    """The settings with every other family of faults made rare."""
    others = {rate for other, rates in RATES.items() if other != kind for rate in rates} - {
        "background_carrier"
    }
    return replace(SETTINGS, **{rate: RARE * getattr(SETTINGS, rate) for rate in others})


def _named(seed, kind):
    """(could be known, named first, named at 50 % or more) of one collection with one fault."""
    collection, truth = simulated(seed, SETTINGS, fault=kind, litters=6, dams=3, males=3)
    if not (truth.labels or truth.clutches or truth.genes or truth.readings):
        return None
    alone = suspicions(replace(collection, settings=_own_family(kind)), KNOWABLE).found
    found = suspicions(collection, 0.0).found
    right = [own.kind == Suspect(kind) and is_wrong(own, truth) for own in found]
    named = any(r and own.probability >= 0.5 for r, own in zip(right, found, strict=True))
    return any(is_wrong(own, truth) for own in alone), bool(right) and right[0], named


def _table(seeds):
    counts = Counter()
    for kind in KINDS:
        for seed in seeds:
            named = _named(seed, kind)
            if named:
                counts[kind, "planted"] += 1
                counts[kind, "knowable"] += named[0]
                counts[kind, "first"] += named[0] and named[1]
                counts[kind, "named"] += named[2]
    return counts


def _printed(counts):
    print("\nkind         planted  could be known  of these first  missed  named at 50 %")
    for kind in KINDS:
        planted, known, first, named = (counts[kind, c] for c in ("planted", "knowable", "first", "named"))
        print(f"{kind:12} {planted:>7} {known:>15} {first:>15} {known - first:>7} {named:>14}")


def test_suspicions__name_a_planted_fault_first():
    counts = _table(range(3))
    known = sum(counts[kind, "knowable"] for kind in KINDS)
    assert known >= 3
    assert sum(counts[kind, "first"] for kind in KINDS) >= 0.9 * known


@pytest.mark.study
def test_suspicions__name_planted_faults_first_in_most_collections():
    counts = _table(range(75))
    _printed(counts)
    known = sum(counts[kind, "knowable"] for kind in KINDS)
    assert known > 50
    assert sum(counts[kind, "first"] for kind in KINDS) >= 0.95 * known
