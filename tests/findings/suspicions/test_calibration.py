"""Are the stated probabilities those with which records are wrong? Collections drawn from the model itself."""

from collections import defaultdict
from math import sqrt

import pytest

from pipeline.genetics.collection import Settings
from pipeline.genetics.suspicions.answer import Suspect, suspicions
from tests.simulate.faults import simulated

FAULTY = Settings(
    background_carrier=0.05, misread=0.02, wrong_sire=0.15, wrong_label_seller=0.1, wrong_gene_record=0.15
)
"""Rates at which small collections hold faults enough to count."""
CLEAN = Settings()
"""The Settings sheet's own rates, for collections without a fault."""
LEAST = 0.05


def is_wrong(own, truth):
    """Whether a suspected record is really wrong."""
    if own.kind is Suspect.LABEL:
        return (own.animal, own.gene) in truth.labels
    if own.kind is Suspect.PARENTAGE:
        return str(own.clutch.key[0]) in truth.clutches
    if own.kind is Suspect.GENE_RECORD:
        return bool(set(own.genes) & truth.genes)
    if own.animal:
        return (own.animal, own.gene) in truth.readings
    row = own.clutch.tallies[own.tally]
    return ((str(own.clutch.key[0]), row.label, row.sex), own.gene) in truth.readings


def _binned(seeds):
    """By kind and tenth: how many records, the sum of their probabilities, its variance, how many are wrong."""
    bins = defaultdict(lambda: [0, 0.0, 0.0, 0])
    for seed in seeds:
        collection, truth = simulated(seed, FAULTY)
        for own in suspicions(collection, LEAST).found:
            for name in (str(own.kind), "all"):
                bin_ = bins[name, min(int(10 * own.probability), 9)]
                bin_[0] += 1
                bin_[1] += own.probability
                bin_[2] += own.probability * (1 - own.probability)
                bin_[3] += is_wrong(own, truth)
    return bins


def _off(bins):
    """Standard errors between stated and true counts, by kind and tenth; tenths of fewer than five records left out."""
    return {
        key: (wrong - stated) / sqrt(variance)
        for key, (n, stated, variance, wrong) in bins.items()
        if n >= 5 and variance
    }


def test_suspicions__are_wrong_as_often_as_stated():
    off = {tenth: value for (name, tenth), value in _off(_binned(range(12))).items() if name == "all"}
    assert len(off) >= 3
    assert max(map(abs, off.values())) < 3


@pytest.mark.study
def test_suspicions__are_calibrated_in_ten_bins():
    bins = _binned(range(1000, 1400))
    off = _off(bins)
    print("\nkind         stated from   records  stated  wrong  off (s.e.)")
    for (name, tenth), (n, stated, _, wrong) in sorted(bins.items()):
        print(
            f"{name:12} {tenth / 10:>10.1f} {n:>10} {stated / n:>7.3f} {wrong / n:>6.3f} {off.get((name, tenth), 0):>6.1f}"
        )
    assert max(abs(value) for (name, _), value in off.items() if name == "all") < 3.5
    assert max(map(abs, off.values())) < 4


def _accusations(seeds):
    """Collections in which something is accused at 50 %, of clean ones drawn with the priors of the Settings sheet."""
    clean = (simulated(seed, CLEAN, fault="none")[0] for seed in seeds)
    return sum(bool(suspicions(collection, 0.5).found) for collection in clean)


def test_suspicions__accuse_no_clean_collection():
    assert _accusations(range(12)) == 0


@pytest.mark.study
def test_suspicions__accuse_clean_collections_no_more_than_the_priors_say():
    """A clean collection of three clutches holds some fault in about one of ten by the priors; far fewer may be accused."""
    accused = _accusations(range(1000))
    print(f"\nof 1,000 clean collections {accused} were accused at 50 %")
    assert accused <= 20
