"""The pairings of one animal, what came of them, and what the ratio tests said."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

import pandas as pd

from pipeline.genetics.collection import Collection, Outcome, Pairing, Young


@dataclass(frozen=True)
class Litter:
    """One clutch of a pairing; `clutch` None: no result yet, or (`pooled`) all clutches of the pairing together.

    `role` is dam, sire, or 'one of several sires'. `young` counts eggs or young, slugs included; `verdict` and
    `meaning` are the joint ratio test's, '' where none was made.
    """

    pairing: str
    season: int
    role: str
    partners: tuple[str, ...]
    clutch: int | None
    born: date | None
    young: int
    outcomes: dict[Outcome, int]
    verdict: str = ""
    meaning: str = ""
    pooled: bool = False


@dataclass(frozen=True)
class Offspring:
    """`young` and `live` of the clutches it is a recorded parent of, those it may have sired with others apart; `animals` have a row."""

    young: int
    live: int
    perhaps: int
    animals: tuple[str, ...]


def litters(collection: Collection, id: str, tests: pd.DataFrame) -> tuple[Litter, ...]:
    """The clutches of every pairing that names the animal, by season; after several clutches, all of them pooled.

    `tests` is the findings table ratio_tests.
    """
    joint = tests[tests["gene"].isna()]
    said = {
        (row.pairing, None if row.scope == "pairing" else int(row.clutch)): (row.verdict, _text(row.meaning))
        for row in joint[joint["scope"].isin(["clutch", "pairing"])].itertuples()
    }
    results: dict[str, dict[int, list[Young]]] = {}
    for young in collection.young:
        results.setdefault(young.pairing, {}).setdefault(young.clutch, []).append(young)
    own = [p for p in collection.pairings.values() if id in (p.dam, p.sire, *p.other_sires)]
    own.sort(key=lambda pairing: (pairing.season, pairing.id))
    return tuple(litter for p in own for litter in _of_pairing(p, id, results.get(p.id, {}), said))


def offspring(collection: Collection, id: str, found: Sequence[Litter]) -> Offspring:
    """How many young it has: as recorded parent, perhaps, and with a row of their own."""
    sure = [one for one in found if not one.pooled and one.role in ("dam", "sire")]
    perhaps = [one for one in found if not one.pooled and one.role not in ("dam", "sire")]
    return Offspring(
        sum(one.young for one in sure),
        sum(one.outcomes.get(Outcome.LIVE, 0) for one in sure),
        sum(one.young for one in perhaps),
        tuple(animal.id for animal in collection.animals.values() if id in (animal.sire, animal.dam)),
    )


def _of_pairing(
    pairing: Pairing,
    id: str,
    clutches: dict[int, list[Young]],
    said: dict[tuple[str, int | None], tuple[str, str]],
) -> Iterator[Litter]:
    if not clutches:
        yield _litter(pairing, id, None, [])
        return
    for number in sorted(clutches):
        # Of a pairing with one clutch only the pairing is tested.
        verdict = said.get((pairing.id, number)) or (
            said.get((pairing.id, None)) if len(clutches) == 1 else None
        )
        yield _litter(pairing, id, number, clutches[number], *(verdict or ()))
    if len(clutches) > 1 and (pairing.id, None) in said:
        everyone = [young for number in sorted(clutches) for young in clutches[number]]
        yield _litter(pairing, id, None, everyone, *said[pairing.id, None], pooled=True)


def _litter(
    pairing: Pairing, id: str, clutch: int | None, young: Sequence[Young], verdict: str = "", meaning: str = "",
    *, pooled: bool = False,
) -> Litter:  # fmt: skip
    sires = (pairing.sire, *pairing.other_sires)
    role = "dam" if id == pairing.dam else "sire" if len(sires) == 1 else "one of several sires"
    outcomes: Counter[Outcome] = Counter()
    for one in young:
        outcomes[one.outcome] += one.count
    in_order = {one: outcomes[one] for one in Outcome if one in outcomes}
    born = min((one.born for one in young if one.born), default=None)
    return Litter(
        pairing.id, pairing.season, role, sires if role == "dam" else (pairing.dam,), clutch,
        None if pooled else born, outcomes.total(), in_order, verdict, meaning, pooled,
    )  # fmt: skip


def _text(value: object) -> str:
    return "" if pd.isna(value) else str(value)
