"""Next season's pairs: the best set under the keeper's limits, why each is in it, and what nearly was."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
import pandas as pd

from pipeline.findings.frames import findings_frame
from pipeline.findings.pairs.programme import Programme
from pipeline.findings.pairs.season import Coming
from pipeline.findings.pairs.species_pairs import FREE, INBREEDING, RULED_OUT, SpeciesPairs
from pipeline.findings.pairs.ways import in_words
from pipeline.findings.pairs.words import whys
from pipeline.findings.shares import halved
from pipeline.genetics.collection import Settings
from pipeline.store.tables import SEASON_PLAN, SEASON_PLAN_ALTERNATIVES

LEAST = 5.0
"""A pair of fewer points is not planned: an animal that rests loses nothing."""
NEARLY = 0.95
CHANGED = 6
"""Planned pairs, the best, of which it is told what the plan would be without them; and left-out ones, with them."""


@dataclass(frozen=True)
class Choice:
    """One pair that can be chosen: its species' pairs and its place there."""

    pairs: SpeciesPairs
    place: int

    @property
    def ids(self) -> tuple[str, str]:
        """The dam's and the sire's."""
        return self.pairs.ids(self.place)

    @property
    def points(self) -> float:
        """Its score by itself, whatever else is planned."""
        return float(self.pairs.score.total[self.place])

    @property
    def fixed(self) -> str:
        """Why the keeper has settled on this pair; '' where the plan chose it."""
        return self.pairs.fixed.get(self.place, "")


@dataclass(frozen=True)
class Plan:
    """What can be chosen (`species` and `places` say whose pair and which), the programme that chose, and what it chose."""

    species: tuple[SpeciesPairs, ...]
    whose: np.ndarray
    places: np.ndarray
    programme: Programme
    chosen: tuple[int, ...]
    when: Coming

    def choice(self, at: int) -> Choice:
        """The pair at a place of the programme."""
        return Choice(self.species[self.whose[at]], int(self.places[at]))

    @cached_property
    def pairs(self) -> list[Choice]:
        """The chosen pairs, in the order of `chosen`."""
        return [self.choice(at) for at in self.chosen]

    @cached_property
    def at(self) -> dict[tuple[str, str], int]:
        """The places in the programme of the chosen pairs, by dam and sire."""
        return {self.choice(at).ids: at for at in self.chosen}

    @cached_property
    def of_dam(self) -> dict[str, Choice]:
        """The chosen pair of each dam that has one."""
        return {choice.ids[0]: choice for choice in reversed(self.pairs)}

    @cached_property
    def turns(self) -> Counter[str]:
        """How many of the chosen pairs each sire has."""
        return Counter(choice.ids[1] for choice in self.pairs)

    def rival(self, at: int) -> Choice | None:
        """The best other pair of the same dam; None where she has none."""
        programme = self.programme
        others = np.flatnonzero(programme.dam == programme.dam[at])
        others = others[others != at]
        return self.choice(others[programme.points[others].argmax()]) if len(others) else None


def season_plan(pairs: Sequence[SpeciesPairs], settings: Settings, when: Coming) -> Plan:
    """The plan of all species together, who share the hatchling places.

    To choose from: pairs that nothing rules out and that earn LEAST points; pairs the keeper has fixed are in it anyway.
    With limited places, species of which no litter size is known have fixed pairs alone.
    """
    places = [_to_choose(own, settings) for own in pairs]
    whose = np.repeat(np.arange(len(pairs)), [len(own) for own in places])
    dams, sires = (_numbered(pairs, places, side) for side in ("dam", "sire"))
    fixed = [np.isin(at, list(own.fixed)) for own, at in zip(pairs, places, strict=True)]
    young = [own.species.young if own.species.size_known else 0 for own in pairs]
    flat = np.concatenate([*places, np.zeros(0, dtype=int)]).astype(int)
    programme = Programme(
        dams,
        sires,
        np.concatenate([own.score.total[at] for own, at in zip(pairs, places, strict=True)] + [np.zeros(0)]),
        np.array(young, dtype=int)[whose],
        settings.pairs_per_male,
        settings.hatchling_places,
        tuple(np.flatnonzero(np.concatenate([*fixed, np.zeros(0, dtype=bool)])).tolist()),
    )
    chosen, hint = programme.solved()
    return Plan(tuple(pairs), whose, flat, replace(programme, hint=hint), chosen, when)


def _to_choose(pairs: SpeciesPairs, settings: Settings) -> np.ndarray:
    free = (pairs.limit == FREE) & (pairs.score.total >= LEAST)
    if settings.hatchling_places is not None and not pairs.species.size_known:
        free[:] = False
    free[list(pairs.fixed)] = True
    return np.flatnonzero(free)


def _numbered(pairs: Sequence[SpeciesPairs], places: Sequence[np.ndarray], side: str) -> np.ndarray:
    """The females or males of the pairs to choose from as numbers, no two species sharing any."""
    found, before = [np.zeros(0, dtype=int)], 0
    for own, at in zip(pairs, places, strict=True):
        found.append(getattr(own, side)[at] + before)
        before += len(own.dams if side == "dam" else own.sires)
    return np.concatenate(found)


def plan_rows(plan: Plan, cautions: dict[tuple[str, str], str | None]) -> pd.DataFrame:
    """Findings table season_plan without `book`, the best pairs of each species first."""
    ordered = sorted(plan.pairs, key=lambda c: (c.pairs.species.name, -c.points, c.ids))
    earns = _earns(ordered)
    rows = [
        {
            "season": plan.when.year, "species": c.pairs.species.name, "dam": c.ids[0], "sire": c.ids[1],
            "pairing": c.fixed or None, "score": c.points,
            "young": c.pairs.species.young if c.pairs.species.size_known else None,
            "expected_value": values.value[c.place], "value_low": values.low[c.place],
            "value_high": values.high[c.place], "currency": c.pairs.species.prices.currency,
            "reason": _reason(plan, c, earns[c.ids]), "cautions": cautions.get(c.ids),
        }
        for c in ordered
        for values in [c.pairs.expected.values]
    ]  # fmt: skip
    return findings_frame(SEASON_PLAN, rows)


def _earns(choices: Sequence[Choice]) -> dict[tuple[str, str], str]:
    """The score of each pair in words."""
    found: dict[tuple[str, str], str] = {}
    for pairs in {id(choice.pairs): choice.pairs for choice in choices}.values():
        own = [choice for choice in choices if choice.pairs is pairs]
        said = whys(pairs, np.array([choice.place for choice in own]))
        found |= {choice.ids: words for choice, words in zip(own, said, strict=True)}
    return found


def _reason(plan: Plan, choice: Choice, earns: str) -> str:
    fixed = f"In the book already as pairing {choice.fixed}, so it is kept." if choice.fixed else ""
    way = in_words(choice.pairs.ways.get(choice.ids, ()))
    return " ".join(filter(None, [fixed, way, earns, _given_up(plan, choice)]))


def _given_up(plan: Plan, choice: Choice) -> str:
    """What the dam would have with her best other male, and why he is not taken."""
    dam = choice.ids[0]
    best = plan.rival(plan.at[choice.ids])
    if best is None:
        return f"No other male here would earn {LEAST:g} points with {dam}."
    if best.points > choice.points + 0.05 and not choice.fixed:
        return f"With {best.ids[1]} she would earn {best.points:.0f} ({best.points - choice.points:+.0f}), but {kept_out(plan, best)}."
    return f"Her next best is {best.ids[1]}, {best.points:.0f} points."


def kept_out(plan: Plan, choice: Choice) -> str:
    """Why a pair is not in the plan, though nothing rules it out."""
    dam, sire = choice.ids
    hers = plan.of_dam.get(dam)
    if hers is not None and hers.fixed:
        return f"{dam} is paired in the book already"
    if hers is not None and hers.points > choice.points - 1e-4:
        return f"{dam} has her one litter with {hers.ids[1]}, for {hers.points:.0f} points"
    if plan.turns[sire] >= plan.programme.per_male:
        return f"{sire} has as many pairs as the Settings allow ({plan.programme.per_male})"
    if plan.programme.places is not None:
        return f"the {plan.programme.places} hatchling places go to pairs of more points for each young"
    return "the plan as a whole is better without it"


def alternatives(plan: Plan, pairs: Sequence[SpeciesPairs]) -> pd.DataFrame:
    """Findings table season_plan_alternatives without `book`: each set of pairs once, the best first; last those that a
    limit rules out."""
    rows = list(dict([*_without(plan), *_with(plan)]).values())
    rows.sort(key=lambda row: (-row["total"], row["dam"], row["sire"]))
    return findings_frame(SEASON_PLAN_ALTERNATIVES, rows + list(_ruled_out(plan, pairs)))


def _without(plan: Plan) -> Iterator[tuple[frozenset[int], dict[str, Any]]]:
    """The pairs of each plan without one of the best planned, and its row."""
    free = [at for at in plan.chosen if not plan.choice(at).fixed]
    for at in sorted(free, key=lambda i: (-plan.programme.points[i], i))[:CHANGED]:
        changed = plan.programme.without(at)
        yield frozenset(changed), _row(plan, "without", at, changed, None)


def _with(plan: Plan) -> Iterator[tuple[frozenset[int], dict[str, Any]]]:
    """The pairs of each plan with one of the best left out of it, and its row."""
    left = np.setdiff1d(np.arange(len(plan.places)), plan.chosen)
    for at in left[np.argsort(-plan.programme.points[left], kind="stable")][:CHANGED].tolist():
        changed = plan.programme.including(at)
        reason = kept_out(plan, plan.choice(at))
        if changed is not None:
            yield frozenset(changed), _row(plan, "with", at, changed, f"{reason[0].upper()}{reason[1:]}.")


def _row(plan: Plan, kind: str, place: int, changed: Sequence[int], reason: str | None) -> dict[str, Any]:
    choice = plan.choice(place)
    best, total = plan.programme.total(plan.chosen), plan.programme.total(changed)
    out = [i for i in plan.chosen if i not in set(changed) and i != place]
    put = [i for i in changed if i not in set(plan.chosen) and i != place]
    said = [
        f"{word} {', '.join(' x '.join(plan.choice(i).ids) for i in own)}"
        for word, own in (("out:", out), ("in:", put))
        if own
    ]
    return {
        "season": plan.when.year, "species": choice.pairs.species.name, "kind": kind, "dam": choice.ids[0],
        "sire": choice.ids[1], "score": choice.points, "total": total, "share": total / best if best > 0 else None,
        "within_5": total >= NEARLY * best, "changes": "; ".join(said) or "nothing else", "why": reason,
    }  # fmt: skip


def _ruled_out(plan: Plan, pairs: Sequence[SpeciesPairs]) -> Iterator[dict[str, Any]]:
    """The best pairs that a limit keeps out, one a species and limit, where they would earn more than the plan's least."""
    for own in pairs:
        for limit in (INBREEDING, RULED_OUT):
            kept_out = np.flatnonzero(own.limit == limit)
            best = int(kept_out[own.score.total[kept_out].argmax()]) if len(kept_out) else None
            if best is not None and best not in own.fixed and own.score.total[best] >= LEAST:
                dam, sire = own.ids(best)
                most = own.species.settings.inbreeding_at_most
                reason = (
                    f"The young would be inbred by {halved(own.f[best])}, over the {halved(most)} set as the most."
                    if limit == INBREEDING else "The Settings rule this pair out."
                )  # fmt: skip
                yield {
                    "season": plan.when.year, "species": own.species.name, "kind": "with", "dam": dam, "sire": sire,
                    "score": own.score.total[best], "within_5": False, "why": reason,
                }  # fmt: skip
