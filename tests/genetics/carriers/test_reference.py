"""Exact inference against a general-purpose Bayesian-network library (pyAgrum) on closed pedigrees of 50 to 300."""

import warnings

import numpy as np
import pytest

from pipeline.genetics.carriers.families import families
from pipeline.genetics.carriers.solving import solve
from pipeline.genetics.collection import Settings
from tests.genetics.carriers.books import book
from tests.genetics.carriers.random_books import closed_pedigree

pytestmark = pytest.mark.reference


def library():
    """The library. Its start warns from compiled code, which does not survive a warning made an error."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import pyagrum

    return pyagrum


TRIO = np.array(
    [[[1, 0, 0], [1 / 2, 1 / 2, 0], [0, 1, 0]],
     [[1 / 2, 1 / 2, 0], [1 / 4, 1 / 2, 1 / 4], [0, 1 / 2, 1 / 2]],
     [[0, 1, 0], [0, 1 / 2, 1 / 2], [0, 0, 1]]]
)  # fmt: skip
"""P(young | dam, sire) by copies, written out by hand."""


def reference(collection, settings):
    """All marginals by the library."""
    net, said = reference_net(collection, settings)
    return marginals(library().ShaferShenoyInference(net), said, collection.animals)


def marginals(engine, said, animals):
    """Posteriors of some animals by one of the library's engines."""
    engine.setEvidence(said)
    engine.makeInference()
    return {animal: engine.posterior(animal).toarray() for animal in animals}


def reference_net(collection, settings):
    """The library's network, one variable an animal, and its soft evidence: priors and readings, in plain words."""
    gum = library()
    net, said = gum.BayesNet(), {}
    e, m, b = settings.wrong_label_seller, settings.misread, settings.background_carrier
    base = np.array([(1 - b / 2) ** 2, b * (1 - b / 2), (b / 2) ** 2])
    look = {"normal": np.array([1 - m, 1 - m, m]), "Ash": np.array([m, m, 1 - m]), None: np.ones(3)}
    for animal in collection.animals.values():
        net.add(gum.LabelizedVariable(animal.id, "", 3))
    for animal in collection.animals.values():
        label = animal.label
        words = None if label is None else "Ash" if label.shows else "normal"
        if animal.dam is None:
            prior = base * look[words]
            if label is not None and label.shows:
                prior = np.array([*(e * base[:2] / base[:2].sum()), 1 - e])
            if label is not None and label.carries:
                p = float(label.carries[0].probability) * (1 - e)
                prior = np.array([1 - p, p, 0])
            net.cpt(animal.id).fillWith((prior / prior.sum()).tolist())
            continue
        net.addArc(animal.dam, animal.id)
        net.addArc(animal.sire, animal.id)
        said[animal.id] = look[words].tolist()
        net.cpt(animal.id).fillWith(
            TRIO.transpose(1, 0, 2).ravel().tolist()
        )  # the young's states run fastest
    return net, said


@pytest.mark.parametrize(("n", "seed"), [(50, 1), (120, 2), (200, 3), (300, 4)])
def test_solve__equals_pyagrum_on_closed_pedigrees(n, seed):
    settings = Settings(wrong_sire=0)
    collection = book(closed_pedigree(n, seed), settings=settings)
    expected = reference(collection, settings)
    assert max(len(family.animals) for family in families(collection)) > 0.9 * n
    for solved in solve(collection):
        for animal, states in solved.posterior.states.items():
            assert np.abs(states[0][0] - expected[animal]).max() < 1e-8, animal
