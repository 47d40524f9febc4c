"""The score of a pair in words."""

from collections.abc import Sequence

import numpy as np

from pipeline.findings.pairs.species_pairs import SpeciesPairs
from pipeline.findings.shares import percent


def whys(pairs: SpeciesPairs, places: np.ndarray) -> list[str]:
    """What each pair earns its points with, the most first, and what it loses them by."""
    points = pairs.score
    worths = np.stack([points.goals[places], points.value[places], points.information[places]], axis=1)
    words = [_goals(pairs, places), _values(pairs, places), _informations(pairs, places)]
    earned = zip(
        *(_earned(own, worth) for own, worth in zip(words, worths.T.tolist(), strict=True)), strict=True
    )
    most = np.argsort(-worths, axis=1, kind="stable").tolist()
    texts = []
    for parts, order, less in zip(earned, most, _less(pairs, places), strict=True):
        said = [parts[at] for at in order if parts[at]] or [
            "Serves no goal, fetches little and would tell little"
        ]
        text = "; ".join([*said, *less])
        texts.append(f"{text[0].upper()}{text[1:]}.")
    return texts


def _earned(words: Sequence[str], worths: Sequence[float]) -> list[str]:
    """Words with their points, '' where there are none to speak of."""
    return [
        f"{own} ({_points(worth)})" if own and worth >= 0.5 else ""
        for own, worth in zip(words, worths, strict=True)
    ]


def _less(pairs: SpeciesPairs, places: np.ndarray) -> list[list[str]]:
    """What takes points from each pair, or may keep it from coming about."""
    points, found = pairs.score, pairs.expected.outcomes
    said: list[list[str]] = [[] for _ in places]
    for i in np.flatnonzero(pairs.ready[places] < 0.995).tolist():
        said[i].append(f"both ready: {percent(pairs.ready[places[i]])}")
    for i in np.flatnonzero(points.kin[places] < 0).tolist():
        said[i].append(f"inbred by {percent(pairs.f[places[i]])} ({_points(points.kin[places[i]])})")
    for i in np.flatnonzero(points.lost[places] <= -0.05).tolist():
        lost = percent(found.lost[places[i]])
        said[i].append(f"{lost} die of lethal genes ({_points(points.lost[places[i]])})")
    return said


def _points(worth: float) -> str:
    return f"{worth:+.0f}" if abs(worth) >= 0.95 else f"{worth:+.1f}"


def _goals(pairs: SpeciesPairs, places: np.ndarray) -> list[str]:
    """Of the goal that each pair serves best, how; '' where it serves none."""
    said = [""] * len(places)
    served = pairs.score.goal[places]
    for at, goal in enumerate(pairs.species.goals):
        own = np.flatnonzero(served == at)
        chances, on_way = pairs.expected.chances[goal.name], pairs.on_way[at]
        columns = (chances.one, chances.litter, chances.nearer, on_way)
        for i, *told in zip(own.tolist(), *(column[places[own]].tolist() for column in columns), strict=True):
            said[i] = _goal(goal.name, *told, size_known=pairs.species.size_known)
    return said


def _goal(goal: str, one: float, litter: float, nearer: float, wanted: float, *, size_known: bool) -> str:
    if wanted >= max(2 * litter, nearer) and wanted > 0:
        return f"toward {goal}: {percent(wanted)} of litters have the young to keep"
    if 2 * litter >= nearer:
        litters = f", {percent(litter)} of litters have one" if size_known else ""
        return f"{goal}: {percent(one)} of young{litters}"
    return f"toward {goal}: {percent(nearer)} of young nearer than both parents"


def _values(pairs: SpeciesPairs, places: np.ndarray) -> list[str]:
    each = f"{pairs.species.prices.currency} {'a litter' if pairs.species.size_known else 'each'}"
    values = pairs.expected.values.value[places].tolist()
    return [f"about {float(f'{value:.2g}'):,.0f} {each}" if value > 0 else "" for value in values]


def _informations(pairs: SpeciesPairs, places: np.ndarray) -> list[str]:
    bits = pairs.expected.bits[places]
    names = [space.group.name for space in pairs.species.groups.spaces]
    if not names:
        return [""] * len(places)
    told = zip(bits.sum(axis=1).tolist(), bits.argmax(axis=1).tolist(), strict=True)
    return [
        f"{each:.1f} bits on hidden genes, most on {names[at]}" if each >= 0.02 else "" for each, at in told
    ]
