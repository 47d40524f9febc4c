"""What the plan could not do, a sentence each: no female, no male, limits that allow nothing, goals that are met or that nothing serves."""

from collections.abc import Iterator, Mapping, Sequence

from pipeline.findings.pairs.goals import Goal
from pipeline.findings.pairs.options import LISTED, offered
from pipeline.findings.pairs.plan import LEAST, Choice, Plan, kept_out
from pipeline.findings.pairs.season import KEPT, Candidate, Coming, able
from pipeline.findings.pairs.species_pairs import FREE, INBREEDING, RULED_OUT, SpeciesPairs
from pipeline.findings.shares import halved
from pipeline.genetics.collection import Collection, Settings
from pipeline.genetics.genes import SEX_WORDS, SEXES, Sex


def species_notes(
    collection: Collection, species: str, found: Mapping[str, Candidate], when: Coming
) -> Iterator[str]:
    """Why a species has no pairs at all: one sentence for each sex of which nobody is there or ready."""
    for sex in SEXES:
        if not able(found, species, sex):
            yield _nobody(collection, species, sex, found, when)


def _nobody(
    collection: Collection, species: str, sex: Sex, found: Mapping[str, Candidate], when: Coming
) -> str:
    word = SEX_WORDS[sex]
    own = [c for c in found.values() if c.animal.species == species and c.animal.sex == sex]
    if own:
        dated = sorted((c.ready_on, c.animal.id, c.waits_for) for c in own if c.ready_on)
        first = f": {dated[0][1]} is the first, on {dated[0][0]} (waits for {dated[0][2]})" if dated else ""
        return f"No {word} of {species} is likely ready by {when.pairing_days[species]}{first}."
    there = [a for a in collection.animals.values() if a.species == species and a.status in KEPT]
    if any(a.sex == sex for a in there):
        return f"Of no {word} of {species} are the genes known: fill Genes on the sheet Animals."
    unsexed = sum(a.sex is None for a in there)
    hint = f"; {unsexed} of unknown sex could be: fill Sex on the sheet Animals" if unsexed else ""
    return f"The book has no {word} of {species} that is kept or on loan{hint}."


def met_notes(goals: Sequence[Goal], met: Mapping[str, str]) -> Iterator[str]:
    """Goals that no pair need serve any more, and who they are; `met` as for `pair_findings`."""
    for goal in goals:
        if goal.name in met:
            yield f"Goal {goal.name} is met, so no pair earns points for it: {met[goal.name]}"


def limit_notes(plan: Plan, pairs: SpeciesPairs, settings: Settings) -> Iterator[str]:
    """Why nothing of a species is planned, and goals that no pair brings nearer."""
    name = pairs.species.name
    if not any(c.pairs is pairs for c in plan.pairs):
        yield _nothing_planned(pairs, settings)
    for goal in pairs.species.goals:
        chances = pairs.expected.chances[goal.name]
        served = (chances.litter >= 0.005) | (chances.nearer >= 0.01)
        if not served[pairs.limit == FREE].any():
            yield f"Goal {goal.name}: no pair of {name} that may be planned brings it nearer next season."


def _nothing_planned(pairs: SpeciesPairs, settings: Settings) -> str:
    name, places = pairs.species.name, settings.hatchling_places
    limits = set(pairs.limit.tolist())
    if FREE not in limits:
        most = halved(settings.inbreeding_at_most)
        why = {
            (INBREEDING,): f"is closer kin than the {most} of inbreeding that the Settings allow",
            (RULED_OUT,): "is ruled out by the line 'Never pair' on the sheet Settings",
        }.get(
            tuple(sorted(limits)),
            f"is ruled out, not ready, or closer kin than the {most} of inbreeding that the Settings allow",
        )
        return f"Every pair of {name} {why}: none is planned."
    if not settings.pairs_per_male:
        return f"Pairs per male is 0 on the sheet Settings: no pair of {name} is planned."
    if places is not None and not pairs.species.size_known:
        return f"How many young a litter of {name} has is not known, so the {places} hatchling places can't be shared out: fill Typical litter on the sheet Species."
    best = pairs.score.total[pairs.limit == FREE].max()
    if best < LEAST:
        return (
            f"No pair of {name} is worth planning: the best earns {best:.1f} points, and it takes {LEAST:g}."
        )
    if places is not None and places < pairs.species.young:
        return f"The {places} hatchling places hold no litter of {name} ({pairs.species.young} young): none is planned."
    return (
        f"No pair of {name} is planned: the limits on the sheet Settings are used up by pairs of more points."
    )


def way_notes(plan: Plan, pairs: SpeciesPairs) -> Iterator[str]:
    """Pairs with which the quickest way to a goal begins and that the plan leaves out, each with the reason.

    Where it leaves out all of the species, that has been said.
    """
    if not any(c.pairs is pairs for c in plan.pairs):
        return
    for (dam, sire), steps in pairs.ways.items():
        goals = dict.fromkeys(begun.goal for begun in steps if begun.route == 1)
        if goals and (dam, sire) not in plan.at:
            yield f"The way to {' and '.join(goals)} begins with {dam} x {sire}, which is not planned: {_why_not(plan, pairs, (dam, sire))}."


def _why_not(plan: Plan, pairs: SpeciesPairs, pair: tuple[str, str]) -> str:
    place = next(at for at in range(pairs.size) if pairs.ids(at) == pair)
    if pairs.limit[place] == INBREEDING:
        most = halved(pairs.species.settings.inbreeding_at_most)
        return f"the young would be inbred by {halved(pairs.f[place])}, over the {most} set as the most"
    if pairs.limit[place] != FREE:
        return "the Settings rule it out" if pairs.limit[place] == RULED_OUT else "not both are likely ready"
    if pairs.score.total[place] < LEAST:
        return f"it earns {pairs.score.total[place]:.1f} points, and it takes {LEAST:g}"
    return kept_out(plan, Choice(pairs, place))


def listing_notes(pairs: SpeciesPairs, most: int) -> Iterator[str]:
    """What of the pairs is not listed; a book answered by itself lists up to LISTED."""
    many = len(offered(pairs))
    if many > most:
        more = f" Given by itself, this book lists up to {LISTED:,}." if most < LISTED else ""
        yield f"{pairs.species.name}: {many:,} pairs could be. The plan chose among all of them; the {most:,} best are listed, and those planned.{more}"


def wish_notes(
    unread: Sequence[str], fixed: Mapping[tuple[str, str], str], planned: set[tuple[str, str]]
) -> Iterator[str]:
    """Wishes that could not be followed."""
    yield from unread
    for (dam, sire), pairing in fixed.items():
        if (dam, sire) not in planned:
            yield f"Pairing {pairing} ({dam} x {sire}) is in the book for the coming season, but is not reckoned with: one of the two is not kept here, or nothing is known of its genes."
