"""The question of next season for a whole book: options, outcomes, plan, alternatives, notes and holdbacks."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from types import MappingProxyType

import pandas as pd

from pipeline.findings.frames import findings_frame
from pipeline.findings.pairs.breeding import Breeding
from pipeline.findings.pairs.expected import Species
from pipeline.findings.pairs.goals import Goal, read_goals
from pipeline.findings.pairs.holdbacks import Grown, holdbacks
from pipeline.findings.pairs.notes import (
    limit_notes,
    listing_notes,
    met_notes,
    species_notes,
    way_notes,
    wish_notes,
)
from pipeline.findings.pairs.options import (
    LISTED,
    Cautions,
    cautions_of,
    pair_options,
    pair_outcomes,
    told_places,
)
from pipeline.findings.pairs.plan import Plan, alternatives, plan_rows, season_plan
from pipeline.findings.pairs.season import KEPT, Candidate, Coming, candidates, coming, litter_size
from pipeline.findings.pairs.spaces import Groups
from pipeline.findings.pairs.species_pairs import SpeciesPairs, species_pairs
from pipeline.findings.pairs.ways import Ways, beginnings
from pipeline.findings.pairs.wishes import Wishes, wishes
from pipeline.findings.pairs.young import youngsters
from pipeline.findings.prices import LabelPrices, PriceFindings
from pipeline.genetics.collection import Collection
from pipeline.store.tables import SEASON_PLAN_NOTES

Records = Mapping[str, pd.DataFrame]


@dataclass(frozen=True)
class PairFindings:
    """Findings tables pair_options, pair_outcomes, season_plan, season_plan_alternatives, season_plan_notes and holdbacks,
    without the column `book`."""

    options: pd.DataFrame
    outcomes: pd.DataFrame
    plan: pd.DataFrame
    alternatives: pd.DataFrame
    notes: pd.DataFrame
    holdbacks: pd.DataFrame


def pair_findings(
    breeding: Breeding,
    records: Records,
    growth: pd.DataFrame,
    prices: PriceFindings,
    *,
    as_of: date,
    routes: pd.DataFrame | None = None,
    met: Mapping[str, str] = MappingProxyType({}),
    listed: int = LISTED,
) -> PairFindings:
    """Whom to pair next season, and which young to keep.

    `records` are the book's own tables `species` and `goals`, `growth` its findings table, `routes` the table goal_routes:
    pairs with which a way to a goal begins serve it, and say so. A goal in `met`, each with the sentence that says by whom,
    is worth no points; young are kept for it as for any other. `listed` are the pairs of a species told at most, the best.
    """
    collection, odds = breeding.collection, breeding.odds
    when = coming(collection, as_of)
    kinds = _species(collection, records, prices)
    found = candidates(collection, growth, odds, when)
    asked = wishes(collection, when)
    ways = beginnings(routes, when.year)
    pairs = _pairs(breeding, {name: _open(kind, met) for name, kind in kinds.items()}, found, asked, ways)
    plan = season_plan(pairs, collection.settings, when)
    books = {own.species.name: Cautions(own, odds, when) for own in pairs}
    planned = {own.species.name: [c.place for c in plan.pairs if c.pairs is own] for own in pairs}
    return PairFindings(
        pair_options(pairs, breeding.kinship, books, planned, listed),
        pair_outcomes(
            pairs, {own.species.name: told_places(own, planned[own.species.name]) for own in pairs}
        ),
        plan_rows(
            plan, {c.ids: cautions_of(c.pairs, c.place, books[c.pairs.species.name]) for c in plan.pairs}
        ),
        alternatives(plan, pairs),
        _notes(collection, kinds, found, plan, pairs, asked, when, met, listed),
        _holdbacks(breeding, kinds, records["species"], as_of),
    )


def _species(collection: Collection, records: Records, prices: PriceFindings) -> dict[str, Species]:
    """Every species with animals, by name."""
    litters = {row.species: row.typical_litter for row in records["species"].itertuples()}
    goals: tuple[Goal, ...] = read_goals(records["goals"], collection.catalogues)
    currency = collection.settings.currency.upper()
    found = {}
    for name in sorted({animal.species for animal in collection.animals.values()}):
        catalogue = collection.catalogues[name]
        young = litter_size(collection, name, litters.get(name))
        found[name] = Species(
            Groups.of(catalogue),
            tuple(goal for goal in goals if goal.species == name),
            young or 1,
            LabelPrices(catalogue, currency, prices),
            collection.settings,
            young is not None,
        )
    return found


def _open(species: Species, met: Mapping[str, str]) -> Species:
    """The species with the goals that are still to be bred."""
    return replace(species, goals=tuple(goal for goal in species.goals if goal.name not in met))


def _pairs(
    breeding: Breeding,
    kinds: Mapping[str, Species],
    found: Mapping[str, Candidate],
    asked: Wishes,
    ways: Ways,
) -> list[SpeciesPairs]:
    """The pairs of each species that has a female and a male likely ready, or a fixed pair."""
    fixed = {name for pair in asked.fixed if all(one in found for one in pair) for name in pair}
    made = []
    for name, species in kinds.items():
        own = [c for c in found.values() if c.animal.species == name and (c.able or c.animal.id in fixed)]
        dams, sires = ([c for c in own if c.animal.sex == sex] for sex in ("F", "M"))
        if dams and sires:
            made.append(species_pairs(species, dams, sires, breeding, wishes=asked, ways=ways))
    return made


def _notes(
    collection: Collection,
    kinds: Mapping[str, Species],
    found: Mapping[str, Candidate],
    plan: Plan,
    pairs: list[SpeciesPairs],
    asked: Wishes,
    when: Coming,
    met: Mapping[str, str],
    listed: int,
) -> pd.DataFrame:
    rows = [{"note": note} for note in wish_notes(asked.unread, asked.fixed, {c.ids for c in plan.pairs})]
    for name, kind in kinds.items():
        own = next((p for p in pairs if p.species.name == name), None)
        missing = list(species_notes(collection, name, found, when))
        said = missing or (
            [*limit_notes(plan, own, collection.settings), *way_notes(plan, own), *listing_notes(own, listed)]
            if own
            else []
        )
        rows += [{"species": name, "note": note} for note in (*met_notes(kind.goals, met), *said)]
    return findings_frame(SEASON_PLAN_NOTES, rows)


def _holdbacks(
    breeding: Breeding, kinds: Mapping[str, Species], species: pd.DataFrame, as_of: date
) -> pd.DataFrame:
    groups = {name: kind.groups for name, kind in kinds.items()}
    collection, odds = breeding.collection, breeding.odds
    young = youngsters(collection, breeding.carriers, odds, groups, species, as_of)
    growing = {one.animal for one in young}
    grown = [
        Grown(a.id, a.species, a.sex, odds[a.id])
        for a in sorted(collection.animals.values(), key=lambda a: a.id)
        if a.sex and a.status in KEPT and a.id in odds and a.id not in growing
    ]
    return holdbacks(kinds, young, grown)
