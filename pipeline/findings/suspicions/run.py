"""The tables of suspicions: one row a cause, and its rival explanations."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

import pandas as pd

from pipeline.findings.frames import findings_frame
from pipeline.findings.suspicions.evidence import evidence
from pipeline.findings.suspicions.explain import (
    Case,
    case_of,
    gene,
    likelier,
    pairing,
    recorded,
    rivals,
)
from pipeline.findings.suspicions.next_steps import next_step
from pipeline.findings.suspicions.stable import Stable
from pipeline.findings.suspicions.undecided import LEAST, undecided
from pipeline.genetics.collection import Collection
from pipeline.genetics.suspicions.answer import Suspect, Suspicion, suspicions
from pipeline.genetics.suspicions.faults import Structures
from pipeline.genetics.suspicions.folding import Symptom, folded
from pipeline.problems import Problem
from pipeline.store.tables import SUSPICION_RIVALS, SUSPICIONS

LARGEST_FACTOR = 1e6
"""Bayes factors beyond are no better known than this."""
MOST_FOLDED = 8


@dataclass(frozen=True)
class SuspicionFindings:
    """The tables suspicions and suspicion_rivals, without `book`, and what several records share the blame for."""

    suspicions: pd.DataFrame
    rivals: pd.DataFrame
    problems: tuple[Problem, ...] = ()


def suspicion_findings(
    collection: Collection,
    growth: pd.DataFrame | None = None,
    *,
    as_of: date | None = None,
    structures: Sequence[Structures] | None = None,
) -> SuspicionFindings:
    """Every record at least as likely to be wrong as the setting 'Report suspicion from (%)', likeliest first.

    `growth` (columns animal and ready_on) with `as_of` tells which animals are ready, for the next steps; `structures` are
    those of the collection's species, where they were searched already.
    """
    least = collection.settings.report_suspicion_from
    weighed = suspicions(collection, min(least, LEAST), structures)
    found = replace(weighed, found=tuple(s for s in weighed.found if s.probability >= least))
    by_species = {own.species: own for own in found.structures}
    stable = Stable(dict(collection.animals), _ready(growth, as_of), collection.settings.inbreeding_at_most)
    cases = [case_of(s, by_species[s.species], collection) for s in _one_a_record(found.found)]
    rows, rival_rows = [], []
    for rank, case in enumerate(cases, start=1):
        rows.append(_row(rank, case, stable, folded(case.suspicion, found, collection.settings, least)))
        for place, (words, chance) in enumerate(rivals(case), start=1):
            rival_rows.append({"rank": rank, "place": place, "explanation": words, "probability": chance})
    return SuspicionFindings(
        findings_frame(SUSPICIONS, rows),
        findings_frame(SUSPICION_RIVALS, rival_rows),
        tuple(undecided(collection, weighed, least)),
    )


def _one_a_record(found: Sequence[Suspicion]) -> list[Suspicion]:
    """Of several loci at which one look is suspected, the likeliest."""
    kept: dict[tuple, Suspicion] = {}
    for own in found:
        key: tuple = (own.kind, own.species, own.animal, own.clutch and own.clutch.key, own.tally)
        if own.kind is not Suspect.READING:
            key = (*key, own.gene, own.genes)
        kept.setdefault(key, own)
    return list(kept.values())


def _row(rank: int, case: Case, stable: Stable, symptoms: tuple[Symptom, ...]) -> dict[str, object]:
    own = case.suspicion
    return {
        "rank": rank,
        "species": own.species,
        "kind": str(own.kind),
        "subject": own.subject,
        "pairing": pairing(case),
        "gene": gene(case),
        "recorded": recorded(case),
        "likelier": likelier(case),
        "probability": own.probability,
        "bayes_factor": min(own.bayes_factor, LARGEST_FACTOR),
        "evidence": evidence(case),
        "next_step": next_step(case, stable),
        "folded": _folded_words(symptoms) or None,
        "method": own.method,
    }


def _folded_words(symptoms: tuple[Symptom, ...]) -> str:
    """'label of B18; parentage of B22-4'."""
    words = [f"{symptom.kind} of {symptom.subject}" for symptom in symptoms[:MOST_FOLDED]]
    if len(symptoms) > MOST_FOLDED:
        words.append(f"{len(symptoms) - MOST_FOLDED} more")
    return "; ".join(words)


def _ready(growth: pd.DataFrame | None, as_of: date | None) -> frozenset[str]:
    if growth is None or as_of is None or growth.empty:
        return frozenset()
    there = pd.to_datetime(growth["ready_on"]) <= pd.Timestamp(as_of)
    return frozenset(growth.loc[there, "animal"])
