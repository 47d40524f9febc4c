"""Next season's pairs: the best set under the keeper's limits, why each is in it, and what nearly was."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import pandas as pd

from pipeline.findings.frames import findings_frame
from pipeline.findings.pairs.programme import Programme
from pipeline.findings.pairs.season import Coming
from pipeline.findings.pairs.species_pairs import FREE, INBREEDING, RULED_OUT, SpeciesPairs
from pipeline.findings.pairs.words import why
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

    @cached_property
    def ids(self) -> tuple[str, str]:
        return self.pairs.ids(self.place)

    @cached_property
    def points(self) -> float:
        return float(self.pairs.score.total[self.place])

    @property
    def fixed(self) -> str:
        return self.pairs.fixed[self.place]


@dataclass(frozen=True)
class Plan:
    """The chosen pairs (places in `choices`), and the programme that chose them."""

    choices: tuple[Choice, ...]
    programme: Programme
    chosen: tuple[int, ...]
    when: Coming

    @cached_property
    def pairs(self) -> list[Choice]:
        return [self.choices[place] for place in self.chosen]

    @cached_property
    def best_of(self) -> dict[str, list[Choice]]:
        """By dam her two best choices, the best first."""
        found: dict[str, list[Choice]] = {}
        for choice in sorted(self.choices, key=lambda c: (-c.points, c.ids)):
            own = found.setdefault(choice.ids[0], [])
            if len(own) < 2:
                own.append(choice)
        return found


def season_plan(pairs: Sequence[SpeciesPairs], settings: Settings, when: Coming) -> Plan:
    """The plan of all species together, who share the hatchling places.

    To choose from: pairs that nothing rules out and that earn LEAST points; pairs the keeper has fixed are in it anyway.
    With limited places, species of which no litter size is known have fixed pairs alone.
    """
    choices = tuple(
        Choice(own, place)
        for own in pairs
        for place in range(own.size)
        if own.fixed[place]
        or (_plannable(own, place) and (settings.hatchling_places is None or own.species.size_known))
    )
    dams, sires = (list(dict.fromkeys(c.ids[side] for c in choices)) for side in (0, 1))
    at = [{name: i for i, name in enumerate(names)} for names in (dams, sires)]
    programme = Programme(
        np.array([at[0][c.ids[0]] for c in choices], dtype=int),
        np.array([at[1][c.ids[1]] for c in choices], dtype=int),
        np.array([c.points for c in choices]),
        np.array([c.pairs.species.young if c.pairs.species.size_known else 0 for c in choices]),
        settings.pairs_per_male,
        settings.hatchling_places,
        tuple(i for i, c in enumerate(choices) if c.fixed),
    )
    return Plan(choices, programme, programme.best(), when)


def _plannable(pairs: SpeciesPairs, place: int) -> bool:
    return pairs.limit[place] == FREE and pairs.score.total[place] >= LEAST


def plan_rows(plan: Plan, cautions: dict[tuple[str, str], str | None]) -> pd.DataFrame:
    """Findings table season_plan without `book`, the best pairs of each species first."""
    ordered = sorted(plan.pairs, key=lambda c: (c.pairs.species.name, -c.points, c.ids))
    rows = [
        {
            "season": plan.when.year, "species": c.pairs.species.name, "dam": c.ids[0], "sire": c.ids[1],
            "pairing": c.fixed or None, "score": c.points,
            "young": c.pairs.species.young if c.pairs.species.size_known else None,
            "expected_value": c.pairs.expected.values.value[c.place], "reason": _reason(plan, c),
            "cautions": cautions.get(c.ids),
        }
        for c in ordered
    ]  # fmt: skip
    return findings_frame(SEASON_PLAN, rows)


def _reason(plan: Plan, choice: Choice) -> str:
    fixed = f"In the book already as pairing {choice.fixed}, so it is kept. " if choice.fixed else ""
    return fixed + why(choice.pairs, choice.place) + _given_up(plan, choice)


def _given_up(plan: Plan, choice: Choice) -> str:
    """What the dam would have with her best other male, and why he is not taken."""
    dam = choice.ids[0]
    best = next((c for c in plan.best_of[dam] if c is not choice), None)
    if best is None:
        return f" No other male here would earn {LEAST:g} points with {dam}."
    if best.points > choice.points + 0.05 and not choice.fixed:
        return f" With {best.ids[1]} she would earn {best.points:.0f} ({best.points - choice.points:+.0f}), but {_full(plan, best)}."
    return f" Her next best is {best.ids[1]}, {best.points:.0f} points."


def _full(plan: Plan, choice: Choice) -> str:
    """Why a pair is not in the plan, though nothing rules it out."""
    dam, sire = choice.ids
    here = [c for c in plan.pairs if c.ids[1] == sire]
    if len(here) >= plan.programme.per_male:
        return f"{sire} has as many pairs as the Settings allow ({plan.programme.per_male})"
    hers = next((c for c in plan.pairs if c.ids[0] == dam), None)
    if hers is not None and hers.fixed:
        return f"{dam} is paired in the book already"
    if hers is not None and hers.points > choice.points - 1e-4:
        return f"{dam} has her one litter with {hers.ids[1]}, for {hers.points:.0f} points"
    if plan.programme.places is not None:
        return f"the {plan.programme.places} hatchling places go to pairs of more points for each young"
    return "the plan as a whole is better without it"


def alternatives(plan: Plan, pairs: Sequence[SpeciesPairs]) -> pd.DataFrame:
    """Findings table season_plan_alternatives without `book`: the best first; last those that a limit rules out."""
    rows = list({(row["total"], row["species"]): row for row in (*_without(plan), *_with(plan))}.values())
    rows.sort(key=lambda row: (-row["total"], row["dam"], row["sire"]))
    return findings_frame(SEASON_PLAN_ALTERNATIVES, rows + list(_ruled_out(plan, pairs)))


def _without(plan: Plan) -> Iterator[dict[str, Any]]:
    free = [place for place in plan.chosen if not plan.choices[place].fixed]
    for place in sorted(free, key=lambda i: (-plan.choices[i].points, i))[:CHANGED]:
        yield _row(plan, "without", place, plan.programme.without(place), None)


def _with(plan: Plan) -> Iterator[dict[str, Any]]:
    left = [i for i in range(len(plan.choices)) if i not in set(plan.chosen)]
    for place in sorted(left, key=lambda i: (-plan.choices[i].points, i))[:CHANGED]:
        changed = plan.programme.including(place)
        reason = _full(plan, plan.choices[place])
        if changed is not None:
            yield _row(plan, "with", place, changed, f"{reason[0].upper()}{reason[1:]}.")


def _row(plan: Plan, kind: str, place: int, changed: Sequence[int], reason: str | None) -> dict[str, Any]:
    choice, best, total = (
        plan.choices[place],
        plan.programme.total(plan.chosen),
        plan.programme.total(changed),
    )
    out = [i for i in plan.chosen if i not in set(changed) and i != place]
    put = [i for i in changed if i not in set(plan.chosen) and i != place]
    said = [
        f"{word} {', '.join(' x '.join(plan.choices[i].ids) for i in own)}"
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
            kept_out = [i for i in range(own.size) if own.limit[i] == limit and not own.fixed[i]]
            best = max(kept_out, key=lambda i: own.score.total[i], default=None)
            if best is not None and own.score.total[best] >= LEAST:
                dam, sire = own.ids(best)
                most = own.species.settings.inbreeding_at_most
                reason = (
                    f"The young would be inbred by {100 * own.f[best]:.3g} %, over the {100 * most:.3g} % set as the most."
                    if limit == INBREEDING else "The Settings rule this pair out."
                )  # fmt: skip
                yield {
                    "season": plan.when.year, "species": own.species.name, "kind": "with", "dam": dam, "sire": sire,
                    "score": own.score.total[best], "within_5": False, "why": reason,
                }  # fmt: skip
