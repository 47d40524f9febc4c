"""Small and large invented herds for the checks of next season's pairs."""

from datetime import date
from random import Random
from types import MappingProxyType

import pandas as pd

from pipeline.findings.pairs import LISTED, PairFindings, pair_findings
from pipeline.findings.pairs.breeding import Breeding
from pipeline.findings.prices import price_findings
from pipeline.genetics.carriers.odds import carriers
from pipeline.genetics.collection import Animal, Collection, Pairing, Settings, Young
from pipeline.genetics.genes import Catalogue, Gene, Inheritance, SexChromosomes
from pipeline.genetics.labels import read_label
from pipeline.genetics.pedigree import parents_first

AS_OF = date(2026, 11, 1)
NOTHING = MappingProxyType({})
RECESSIVE, INCOMPLETE, DOMINANT = Inheritance.RECESSIVE, Inheritance.INCOMPLETE, Inheritance.DOMINANT


def gene(name, inheritance=RECESSIVE, locus=None, **more):
    return Gene(name, inheritance, locus or name, **more)


GENES = (
    gene("Ash"), gene("Fog"), gene("Moss"), gene("Bark", DOMINANT), gene("Ember", INCOMPLETE),
    gene("Frost", INCOMPLETE, lethal=True, welfare="Two copies die"),
)  # fmt: skip
BOA = Catalogue("Boa", GENES, SexChromosomes.XY)


def animal(id, sex, label, *, sire=None, dam=None, known=BOA, **more):
    statement = None if label is None else read_label(label, known)
    more = {"born": date(2018, 6, 1)} | more
    return Animal(id, known.species, sex, statement, sire=sire, dam=dam, **more)


def book(*animals, known=BOA, pairings=(), young=(), **settings):
    """A collection of these animals; settings by field."""
    by_id = {a.id: a for a in animals}
    order = parents_first({a.id: (a.sire, a.dam) for a in animals})
    defaults = {
        "background_carrier": 0.0,
        "wrong_label_seller": 0.0,
        "wrong_label_bred_here": 0.0,
        "wrong_sire": 0.0,
    }
    return Collection(
        "book", {known.species: known}, {i: by_id[i] for i in order}, {p.id: p for p in pairings}, tuple(young),
        Settings(**{**defaults, "misread": 0.0, **settings}),
    )  # fmt: skip


def pairing(id, dam, sire, season=2027, **more):
    return Pairing(id, "Boa", season, dam, sire, **more)


def hatched(pairing, label, count=1, known=BOA, **more):
    return Young(pairing, read_label(label, known), count, **more)


def records(collection, *, goals=(), litter=8, ages=(None, None), prices=()):
    """The tables that the pairs are read from; goals are (name, label, priority), prices (label, price)."""
    species = [
        {
            "species": name, "typical_litter": litter, "female_breeding_age": ages[0], "male_breeding_age": ages[1],
            "female_breeding_weight": None, "male_breeding_weight": None,
        }
        for name in collection.catalogues
    ]  # fmt: skip
    name = next(iter(collection.catalogues))
    aims = [{"goal": g, "species": name, "genes": label, "priority": rank} for g, label, rank in goals]
    adverts = [
        {
            "row": i, "date": pd.Timestamp(2026, 9, 1 + i % 20), "date_year": 2026, "species": name, "genes": label,
            "sex": None, "age_class": "hatchling", "price": price, "currency": "USD", "kind": "asked",
        }
        for i, (label, price) in enumerate(prices)
    ]  # fmt: skip
    columns = [
        "row",
        "date",
        "date_year",
        "species",
        "genes",
        "sex",
        "age_class",
        "price",
        "currency",
        "kind",
    ]
    return {
        "species": pd.DataFrame(species),
        "goals": pd.DataFrame(aims, columns=["goal", "species", "genes", "priority"]),
        "prices": pd.DataFrame(adverts, columns=columns),
    }


def growth_of(collection, **p_ready):
    """A growth table in which every animal is ready since 2022, or with the probability stated (None: nobody knows)."""
    day = pd.Timestamp(2022, 6, 1)
    rows = [
        {
            "animal": a.id, "ready_on": day if p_ready.get(a.id, 1) == 1 else None, "ready_early": None, "ready_late": None,
            "p_ready": p_ready.get(a.id, 1.0), "latest_g": 2000.0 if a.sex == "F" else 900.0, "blocked_by": "nothing",
        }
        for a in collection.animals.values()
    ]  # fmt: skip
    names = ["animal", "ready_on", "ready_early", "ready_late", "p_ready", "latest_g", "blocked_by"]
    frame = pd.DataFrame(rows, columns=names)
    frame["p_ready"] = frame["p_ready"].astype(float)
    return frame.assign(
        **{name: pd.to_datetime(frame[name]) for name in ("ready_on", "ready_early", "ready_late")}
    )


def pairs_of(collection, growth=None, routes=None, met=NOTHING, listed=LISTED, **asked) -> PairFindings:
    """What the pairs' question answers on a collection; `asked` as for `records`. Without `growth` all are ready."""
    tables = records(collection, **asked)
    priced = price_findings(tables["prices"], collection.catalogues, collection.settings, AS_OF)
    growth = growth_of(collection) if growth is None else growth
    breeding = Breeding.of(collection, carriers(collection))
    return pair_findings(breeding, tables, growth, priced, as_of=AS_OF, routes=routes, met=met, listed=listed)


def herd(males, females, seed=1, generations=2, **settings):
    """A breeder's herd of six genes: a third bought, the rest bred from them, labels as honest keepers write them."""
    rng = Random(seed)
    words = ["", "", "het {}", "66% het {}", "{}"]
    made = []
    for number in range(males + females):
        sex = "M" if number < males else "F"
        names = [g.name for g in GENES if g.inheritance is RECESSIVE]
        label = ", ".join(filter(None, (rng.choice(words).format(name) for name in names)))
        label = ", ".join(filter(None, [label, *(g.name for g in GENES[3:] if rng.random() < 0.2)]))
        made.append(
            animal(f"{sex}{number:03d}", sex, label or "normal", born=date(2016 + rng.randrange(6), 6, 1))
        )
    return book(*made, background_carrier=0.01, misread=0.01, wrong_label_seller=0.05, **settings)
