"""Young counted by pairing, clutch, sex and label: the store's SQL beside pandas on the same tables."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

import numpy as np
import pandas as pd

from pipeline.store.database import Store
from tests.benchmarks.measuring import Row, seconds

SIZES = (10_000, 100_000, 1_000_000)
AS_OF = date(2025, 12, 31)
LABELS = ("normal", "Albino", "Anery", "Motley", "Motley Albino", "Hypo", "Hypo Anery", "Super Motley")
_KEYS = ["pairing", "clutch", "sex", "genes", "unreadable", "grown"]


def rows(sizes: Sequence[int] = SIZES) -> Iterator[Row]:
    """The query young_counts on hatch rows that name no animal of their own, or one in twenty."""
    for size in sizes:
        tables = records(size)
        with Store() as store:
            store.load(tables)
            ours = store.query("young_counts", book="book", as_of=AS_OF)
            theirs = by_pandas(tables)
            if not _same(ours, theirs):
                raise AssertionError("pandas counts otherwise")
            query = seconds(lambda store=store: store.query("young_counts", book="book", as_of=AS_OF))
        yield Row(
            "counting young", size, "hatch rows", query, "pandas", seconds(lambda t=tables: by_pandas(t))
        )


def records(size: int) -> Mapping[str, pd.DataFrame]:
    """A species, pairings of ten hatch rows, and an animal for every twentieth of these."""
    rng = np.random.default_rng(1)
    own = np.arange(0, size, 20)
    place = {"book": "book", "sheet": "sheet"}
    animal = pd.Series([f"B{i}" for i in own], dtype="str")
    born = pd.Timestamp(2024, 8, 1)
    hatch = pd.DataFrame({
        **place, "row": np.arange(size) + 2, "pairing": np.char.add("P", (np.arange(size) // 10).astype(str)),
        "clutch": 1, "date": born, "genes": rng.choice(LABELS, size), "sex": rng.choice(["F", "M"], size),
        "count": rng.integers(1, 6, size), "outcome": rng.choice(["live", "stillborn", "slug"], size, p=[0.9, 0.05, 0.05]),
    })  # fmt: skip
    hatch["animal"] = pd.Series(animal.to_numpy(), index=own, dtype="str").reindex(range(size))
    pairings = pd.DataFrame({**place, "pairing": hatch["pairing"].unique()})
    animals = pd.DataFrame(
        {**place, "id": animal, "species": "Boa", "sex": "F", "born": born, "genes": "Albino"}
    )
    species = pd.DataFrame({**place, "species": ["Boa"], "female_breeding_age": 30.0})
    return {
        "hatch_results": hatch, "species": species, "pairings": pairings.assign(season=2024, row=2, dam="B0", sire="B0"),
        "animals": animals.assign(row=np.arange(len(own)) + 2),
    }  # fmt: skip


def by_pandas(tables: Mapping[str, pd.DataFrame]) -> pd.DataFrame:
    """What young_counts.sql says, in pandas."""
    animals = tables["animals"].merge(
        tables["species"][["species", "female_breeding_age"]], on="species", how="left"
    )
    animals = animals[["id", "sex", "genes", "born", "female_breeding_age"]].rename(
        columns=lambda name: f"own_{name}"
    )
    young = tables["hatch_results"].merge(tables["pairings"][["pairing", "season"]], on="pairing")
    young = young[young["outcome"].fillna("live") != "slug"]
    young = young.merge(animals, left_on="animal", right_on="own_id", how="left")
    months = young["own_female_breeding_age"].fillna(24).astype(int)
    ripe = young["own_born"] + pd.to_timedelta(months * 30.436875, unit="D")
    young = young.assign(
        clutch=young["clutch"].fillna(1).astype(int),
        sex=young["own_sex"].fillna(young["sex"]),
        genes=young["own_genes"].fillna(young["genes"]),
        unreadable=None,
        grown=young["own_genes"].notna() & (ripe <= pd.Timestamp(AS_OF)),
    )
    return young.groupby(_KEYS, dropna=False)["count"].sum().reset_index()


def _same(ours: pd.DataFrame, theirs: pd.DataFrame) -> bool:
    return len(ours) == len(theirs) and int(ours["young"].sum()) == int(theirs["count"].sum())
