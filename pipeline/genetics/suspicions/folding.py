"""The symptoms that a cause accounts for: records that would be suspected if that one record were taken as right."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from pipeline.genetics.carriers.families import Candidate, Clutch, Family
from pipeline.genetics.carriers.posterior import Posterior
from pipeline.genetics.carriers.solving import solve_family
from pipeline.genetics.collection import Settings
from pipeline.genetics.suspicions.answer import Suspect, Suspicion, Suspicions
from pipeline.genetics.suspicions.faults import GeneFault, NoSire, Structures
from pipeline.genetics.suspicions.records import LabelKey, doubts


@dataclass(frozen=True, order=True)
class Symptom:
    """A record by kind and subject: an animal, or a clutch's pairing."""

    kind: Suspect
    subject: str


def folded(
    suspicion: Suspicion, all_found: Suspicions, settings: Settings, at_least: float
) -> tuple[Symptom, ...]:
    """Records that would reach `at_least` without the cause, and that are not reported themselves.

    For labels and readings, which are weighed within a structure, none is sought.
    """
    own = next(s for s in all_found.structures if s.species == suspicion.species)
    without = {
        s
        for family, posterior in _without(suspicion, own, settings)
        for s in _suspected(family, posterior, at_least)
    }
    if not without:
        return ()
    reported = {Symptom(s.kind, s.subject) for s in all_found.found if s.species == suspicion.species}
    return tuple(sorted(without - reported))


def _without(suspicion: Suspicion, own: Structures, settings: Settings) -> Iterator[tuple[Family, Posterior]]:
    """The families concerned, solved with the suspected record taken as right."""
    if suspicion.kind is Suspect.GENE_RECORD or suspicion.unsired:
        for place in own.places:
            if any(_speaks_of(option.fault, suspicion, own) for option in place.options):
                recorded = next(option for option in place.options if option.fault is None)
                for i in sorted({i for option in place.options for i in option.weighed}):
                    weighed = recorded.weighed.get(
                        i, own.best[i]
                    )  # the best found may itself be as recorded here
                    if weighed.solved.posterior is not None:
                        yield weighed.family, weighed.solved.posterior
    elif suspicion.kind is Suspect.PARENTAGE:
        solved = own.best[suspicion.family].solved
        k = [clutch.key for clutch in solved.family.clutches].index(suspicion.known_clutch.key)
        family = _as_booked(solved.family, k)
        again = solve_family(family, solved.stacks, settings, {})
        if again.posterior is not None:
            yield family, again.posterior


def _speaks_of(fault: GeneFault | NoSire | None, suspicion: Suspicion, own: Structures) -> bool:
    if isinstance(fault, GeneFault):
        return suspicion.kind is Suspect.GENE_RECORD and fault.genes == suspicion.genes
    if isinstance(fault, NoSire) and suspicion.kind is Suspect.PARENTAGE:
        clutch = own.families[fault.family].clutches[fault.clutch]
        return fault.family == suspicion.family and clutch.key == suspicion.known_clutch.key
    return False


def _as_booked(family: Family, k: int) -> Family:
    clutch = family.clutches[k]
    males = clutch.recorded
    sole = tuple(Candidate(male, 1 / len(males), True) for male in males)
    clutches = (*family.clutches[:k], replace(clutch, candidates=sole), *family.clutches[k + 1 :])
    return replace(family, clutches=clutches)


def _suspected(family: Family, posterior: Posterior, at_least: float) -> Iterator[Symptom]:
    for key in doubts(family, posterior, priors=False, least=at_least):
        if isinstance(key, LabelKey):
            yield Symptom(Suspect.LABEL, key.animal)
        else:
            yield Symptom(Suspect.READING, key.animal or _name(family.clutches[key.clutch]))
    for clutch, chances in zip(family.clutches, posterior.sires, strict=True):
        right = sum(p for c, p in zip(clutch.candidates, chances, strict=True) if c.recorded)
        if (clutch.tallies or clutch.children) and 1 - right >= at_least:
            yield Symptom(Suspect.PARENTAGE, _name(clutch))


def _name(clutch: Clutch) -> str:
    return str(clutch.key[0]) or ", ".join(clutch.children)
