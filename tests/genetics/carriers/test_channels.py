"""Clutch by clutch against the full sum, where both can be done; and sampling against exact tables."""

import numpy as np
import pytest

from pipeline.genetics.carriers import channels, network, posterior, sampling, solving, structures
from pipeline.genetics.carriers.families import families
from pipeline.genetics.carriers.odds import carriers
from pipeline.genetics.carriers.posterior import CLUTCH_BY_CLUTCH
from pipeline.genetics.carriers.stacks import stacks
from pipeline.genetics.carriers.structures import structure_count
from pipeline.genetics.collection import Settings
from tests.genetics.carriers.books import book
from tests.genetics.carriers.random_books import CATALOGUES, closed_pedigree, random_book


def _gap(one, other):
    """The largest difference of any probability of two posteriors."""
    return max(
        np.abs(a - b).max() for x in one.states for a, b in zip(one.states[x], other.states[x], strict=True)
    )


def _both(collection, monkeypatch):
    """Each family of several structures, summed in full and clutch by clutch."""
    full = solving.solve(collection)
    monkeypatch.setattr(solving, "FULL_SUM", 1)
    for one, other in zip(full, solving.solve(collection), strict=True):
        if 1 < structure_count(one.family) <= 4096:
            yield one.posterior, other.posterior
    monkeypatch.undo()


@pytest.mark.parametrize("seeds", [4, pytest.param(25, marks=pytest.mark.study)])
def test_summed_by_clutch__is_close_to_the_full_sum(seeds, monkeypatch):
    gaps = []
    for mode in CATALOGUES:
        for seed in range(seeds):
            collection = random_book(seed, mode, animals=7, settings=Settings())
            for full, quick in _both(collection, monkeypatch):
                assert quick.method == CLUTCH_BY_CLUTCH
                gaps.append(_gap(full, quick))
    assert len(gaps) > 4 * seeds
    assert np.mean(gaps) < 0.002
    assert np.quantile(gaps, 0.95) < 0.005


def test_summed_by_clutch__is_exact_for_one_gene_and_one_clutch(monkeypatch):
    """With one linkage group and one clutch nothing is left out: evidence and odds agree."""
    animals = [
        ("D", "F", "het Ash", None, None),
        ("S", "M", "Ash", None, None),
        ("T", "M", "normal", None, None),
    ]
    young = [("P", "Ash", 2), ("P", "normal", 5)]
    collection = book(animals, [("P", "D", "S")], young, settings=Settings(wrong_sire=0.2))
    ((full, quick),) = _both(collection, monkeypatch)
    assert _gap(full, quick) < 1e-9
    assert quick.log_evidence == pytest.approx(full.log_evidence)
    assert quick.sires[0] == pytest.approx(full.sires[0])


def test_summed_by_clutch__males_beyond_a_channels_room_stay_independent(monkeypatch):
    """Eight males may have sired a clutch, one of them visual; with room for one the odds hardly differ."""
    males = [(f"S{i}", "M", "Ash" if i == 5 else "normal", None, None) for i in range(8)]
    young = [("P", "Ash", 3), ("P", "normal", 3)]
    pairings = [("P", "D", *(name for name, *_ in males))]
    collection = book([("D", "F", "het Ash", None, None), *males], pairings, young, settings=Settings())
    monkeypatch.setattr(channels, "CHANNEL_LIMIT", 9)
    ((full, quick),) = _both(collection, monkeypatch)
    assert full.sires[0].argmax() == quick.sires[0].argmax() == 5
    assert quick.sires[0] == pytest.approx(full.sires[0], abs=0.01)


def test_summed_by_clutch__thirty_males_of_one_clutch_need_no_table_over_all_of_them():
    males = [(f"S{i}", "M", "normal", None, None) for i in range(30)]
    pairings = [(pairing, "D", *(name for name, *_ in males)) for pairing in "PQR"]
    young = [("P", "Ash", 3), ("Q", "normal", 3), ("R", "normal", 3), ("P", "normal", 1, {"animal": "X"})]
    animals = [("D", "F", "Ash", None, None), *males, ("X", "F", "normal", None, None)]
    found = {odds.animal: odds for odds in carriers(book(animals, pairings, young, settings=Settings())).odds}
    assert found["X"].method == CLUTCH_BY_CLUTCH
    assert found["X"].p_one > 0.9
    assert np.isnan(found["X"].from_ancestors)


def _narrow(monkeypatch):
    """Tables so narrow that most of a pedigree is its core."""
    monkeypatch.setattr(channels, "NARROW", 9)
    monkeypatch.setattr(sampling, "WIDEST", 27 * sampling.CHAINS)


def _sampled(collection, monkeypatch):
    """Exact tables and sampling."""
    _narrow(monkeypatch)
    family = max(families(collection), key=lambda own: len(own.animals))
    own = stacks(collection.catalogues["Boa"], collection.settings)
    exact = solving.solve_family(family, own, collection.settings, {}).posterior
    monkeypatch.setattr(solving, "summed", _too_tangled)
    return exact, solving.solve_family(family, own, collection.settings, {})


def _too_tangled(family, *_):
    if len(family.animals) > 1:
        raise network.TooTangled(2199)
    return structures.summed(family, *_)


def test_sampled__agrees_with_exact_tables_within_its_stated_errors(monkeypatch):
    collection = book(closed_pedigree(60, 7), settings=Settings(wrong_sire=0))
    exact, rough = _sampled(collection, monkeypatch)
    assert (rough.posterior.method, rough.entries) == ("sampled", 2199)
    assert 0 < rough.posterior.error < 0.05
    for animal, (states,) in rough.posterior.states.items():
        off = np.abs(states - exact.states[animal][0]).max()
        assert off < 5 * rough.posterior.errors[animal][0][0] + 1e-3, animal
    assert np.isnan(rough.posterior.log_evidence)


def test_sampled__beyond_its_budget_there_is_no_answer(monkeypatch):
    collection = book(closed_pedigree(60, 7), settings=Settings(wrong_sire=0))
    monkeypatch.setattr(channels, "WORK", 1_000_000)
    _, rough = _sampled(collection, monkeypatch)
    assert (rough.posterior, rough.entries) == (None, 2199)


def test_sampled__odds_whose_chains_have_not_met_are_withheld(monkeypatch):
    collection = book(closed_pedigree(60, 7), settings=Settings(wrong_sire=0))
    _narrow(monkeypatch)
    monkeypatch.setattr(solving, "summed", _too_tangled)
    monkeypatch.setattr(posterior, "ERROR_LIMIT", 1e-4)
    found = carriers(collection)
    (known,) = {solved.posterior.withheld for solved in found.solved if solved.posterior.withheld}
    assert sum(odds.method == "too tangled" for odds in found.odds) == known
    assert all(np.isnan(odds.p_one) == (odds.method == "too tangled") for odds in found.odds)
