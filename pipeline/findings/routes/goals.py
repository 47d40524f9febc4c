"""One goal: the ways to it, or why there is none."""

from collections.abc import Collection as AnyOf
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import prod

from pipeline.findings.pairs.goals import Goal
from pipeline.findings.routes.stock import Herd
from pipeline.findings.routes.timing import Seasons
from pipeline.findings.shares import percent
from pipeline.genetics.carriers.odds import STEPS
from pipeline.genetics.collection import Animal
from pipeline.genetics.genes import SEX_WORDS
from pipeline.genetics.labels import write_label
from pipeline.genetics.pedigree import Pedigree
from pipeline.genetics.routes.kin import GrowingKinship
from pipeline.genetics.routes.outlook import Odds
from pipeline.genetics.routes.search import Route, Stock, quickest_route
from pipeline.genetics.routes.space import GoalSpace

HORIZON = 30
"""Seasons looked ahead."""
LATER = 5
"""Seasons by which a way without close kin may be slower than the quickest and still be told."""
SAME = 0.05
"""Ways whose expected seasons differ by no more than this are equally quick."""
MOST_STATES = 6_000
"""A goal with more genotypes than this is too wide to search."""
NAMED = 5
"""Animals named at most that are a goal already."""
OWNED, OUT_OF_REACH, CAUTION, GRANTED = "owned", "out of reach", "caution", "taken for granted"


@dataclass(frozen=True)
class Way:
    """One route to a goal. `kind` is quickest or within the inbreeding limit; `f` the inbreeding of each step's young."""

    kind: str
    route: Route
    f: tuple[float, ...]


@dataclass(frozen=True)
class Answer:
    """What there is to say of a goal: its ways, best first, and notes (kind, sentence).

    `space` is None where the goal could not be taken up; then there are no ways either.
    """

    space: GoalSpace | None
    odds: dict[str, Odds]
    ways: tuple[Way, ...]
    notes: tuple[tuple[str, str], ...]


def answer_goal(
    goal: Goal, herd: Herd, when: Seasons, pedigree: Pedigree, most_kin: float, never: AnyOf[frozenset[str]]
) -> Answer:
    """The ways to one goal. `never` are pairs that the keeper rules out."""
    catalogue = herd.groups.catalogue
    if not goal.label.genes():
        note = f"{goal.name} names no gene that passes by Mendel's rules; a line-bred look can't be planned gene by gene."
        return Answer(None, {}, (), ((OUT_OF_REACH, note),))
    known = (*herd.animals, *herd.elsewhere)
    carried = {
        gene.name
        for gene in catalogue.genes
        if gene.name in _loci_genes(goal, herd) and herd.carriers_of(gene, known)
    }
    space = GoalSpace(catalogue, goal.label, carried)
    if space.number_of_states > MOST_STATES:
        note = f"{goal.name} takes in too many genes at once ({space.number_of_states:,} genotypes): split it into two goals."
        return Answer(None, {}, (), ((OUT_OF_REACH, note),))
    stock, odds = herd.placed(space)
    owned = list(_owned(goal, space, herd, odds))
    if any(kind == OWNED for kind, _ in owned):
        return Answer(space, odds, (), tuple(owned))
    obstacles = [(OUT_OF_REACH, note) for note in _obstacles(goal, space, herd, stock)]
    if obstacles:
        return Answer(space, odds, (), (*owned, *obstacles))
    ways = tuple(_ways(space, stock, when, pedigree, most_kin, never))
    notes = [] if ways else [(OUT_OF_REACH, f"No way to {goal.name} was found within {HORIZON} seasons.")]
    return Answer(space, odds, ways, (*owned, *notes, *((CAUTION, note) for note in _cautions(goal, herd))))


def _loci_genes(goal: Goal, herd: Herd) -> set[str]:
    """All genes at the loci the goal speaks of, and at those linked with them."""
    spoken = goal.label.genes()
    return {
        gene.name
        for group in herd.groups.catalogue.groups
        if any(gene.name in spoken for locus in group.loci for gene in locus.genes)
        for locus in group.loci
        for gene in locus.genes
    }


def _owned(goal: Goal, space: GoalSpace, herd: Herd, odds: Mapping[str, Odds]) -> Iterable[tuple[str, str]]:
    """Animals that are the goal already, and those that may be. `odds` are those of the animals to breed from."""
    chances = []
    for animal in (*herd.animals, *herd.elsewhere):
        own = odds[animal.id] if animal.id in odds else herd.at(space, animal)
        wanted = [table.wanted for table in space.tables[animal.known_sex]]
        chances.append((prod(float(part @ w) for part, w in zip(own, wanted, strict=True)), animal))
    sure = [(p, one) for p, one in chances if p >= STEPS[0][1]]
    if sure:
        yield OWNED, _have_it(goal, sure, herd)
    for p, one in sorted(chances, key=lambda entry: (-entry[0], entry[1].id)):
        if not sure and p >= 0.25:
            yield CAUTION, f"{one.id} may be {goal.name} already ({percent(p)}): prove it first."


def _have_it(goal: Goal, sure: Sequence[tuple[float, Animal]], herd: Herd) -> str:
    """'B02 (100 %), B12 (for sale, 99.3 %) and 3 more are Hypo already, by all records.'"""
    surest = sorted(sure, key=lambda entry: (entry[1] in herd.elsewhere, -round(entry[0], 2), entry[1].id))
    named = [f"{one.id} ({'for sale, ' * (one in herd.elsewhere)}{percent(p)})" for p, one in surest[:NAMED]]
    named += [f"{len(sure) - NAMED} more"] if len(sure) > NAMED else []
    *first, last = named
    who = f"{', '.join(first)} and {last} are" if first else f"{last} is"
    return f"{who} {goal.name} already, by all records."


def _obstacles(goal: Goal, space: GoalSpace, herd: Herd, stock: Sequence[Stock]) -> Iterable[str]:
    """Why no way can lead there, each reason in a sentence."""
    species = goal.species
    if not space.can_live():
        yield f"No living {species} can be {goal.name}: the Genes sheet says that two copies are lethal, or one sex can't have it."
        return
    for sex, word in SEX_WORDS.items():
        if not any(one.sex == sex for one in stock):
            yield f"{goal.name} can't be bred: no {word} {species} is kept (or its breeding weight is out of reach)."
    for gene in space.wanted_genes():
        if herd.carriers_of(gene, herd.animals):
            continue
        sale = herd.carriers_of(gene, herd.elsewhere)
        hint = f" {sale[0]}, for sale, may carry it: keep it back." if sale else ""
        yield f"{goal.name} can't be reached: no animal kept carries {gene.name}.{hint}"


def _ways(
    space: GoalSpace,
    stock: Sequence[Stock],
    when: Seasons,
    pedigree: Pedigree,
    most_kin: float,
    never: AnyOf[frozenset[str]],
) -> Iterable[Way]:
    """The quickest way, and where it breaks the limit the best one found within it."""
    quickest = quickest_route(space, stock, when.timing, by=when.first + HORIZON, never=never)
    if quickest is None:
        return
    first = Way("quickest", quickest, _inbreeding(quickest, pedigree))
    if max(first.f) <= most_kin + 1e-9:
        yield first
        return
    names = [one.name for one in stock]
    matrix = pedigree.matrix(names, names)
    by = quickest[-1].expected + LATER
    apart = quickest_route(
        space, stock, when.timing, by=by, kinship=matrix, most_kin=most_kin + 1e-9, never=never
    )
    if apart is None or apart[-1].expected > quickest[-1].expected + SAME:
        yield first
    if apart is not None:
        yield Way("within the inbreeding limit", apart, _inbreeding(apart, pedigree))


def _inbreeding(route: Route, pedigree: Pedigree) -> tuple[float, ...]:
    """F of the young of every step."""
    names = list(dict.fromkeys(p for step in route for p in (step.dam, step.sire) if isinstance(p, str)))
    kin = GrowingKinship(pedigree.matrix(names, names))
    for row in range(len(names)):
        kin.add_known(row)
    found = []
    for step in route:
        dam, sire = (names.index(p) if isinstance(p, str) else len(names) + p for p in (step.dam, step.sire))
        found.append(float(kin.of(dam)[sire]))
        kin.add_young(dam, sire)
    return tuple(found)


def _cautions(goal: Goal, herd: Herd) -> Iterable[str]:
    """What can hurt on the way: welfare notes and lethal pairs of the goal's genes, and genes that show late."""
    for name in sorted(goal.label.genes()):
        gene = herd.groups.catalogue.by_name[name]
        if gene.welfare:
            yield f"{name}: {gene.welfare}"
        if gene.lethal:
            yield f"Two copies of {name} are lethal: never pair two that carry it."
        if gene.later:
            yield f"{name} shows late: young are told apart only once they have grown."
    if any(carried.probability != 1 for carried in goal.label.carries):
        yield f"{goal.name} asks for a possible het; the way leads to a certain one: {goal_label(goal, herd)}."


def goal_label(goal: Goal, herd: Herd) -> str:
    """The goal's label in the words of the trade."""
    return write_label(goal.label, herd.groups.catalogue)
