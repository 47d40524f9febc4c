"""What to mind before a pair is put together: what can hurt the young or the animals, and what is not known."""

from collections.abc import Iterator, Mapping

import numpy as np

from pipeline.findings.pairs.season import Candidate, Coming
from pipeline.findings.pairs.spaces import Odds
from pipeline.findings.shares import halved, percent
from pipeline.genetics.carriers.spaces import Space
from pipeline.genetics.collection import Animal
from pipeline.genetics.genes import Catalogue, Gene
from pipeline.genetics.haplotypes import genotype

WEIGHT_RATIO = 3.0
"""Beyond this one of a pair is much the heavier (common practice, no source)."""
HARMED = 0.01
"""A gene with a welfare note is named where a parent carries it with this probability or more."""
LOST = 0.001
"""A share of young beyond this is said to die; below, it is what a misread label or the background leaves of none."""
READY = 0.8


def weight_ratio(dam: Candidate, sire: Candidate) -> float:
    """The heavier's weight over the lighter's, by their latest plain weighings; NaN where one has none."""
    low, high = sorted((dam.grams, sire.grams))
    return high / low if low > 0 else np.nan


def pair_cautions(
    dam: Candidate, sire: Candidate, *, f: float, limit: float, lost: float, harm: str
) -> list[str]:
    """Sentences about one pair. `harm` are the welfare notes of what its young may carry."""
    found = []
    if f > limit:
        found.append(
            f"The young would be inbred by {halved(f)}, more than the {halved(limit)} set as the most."
        )
    if lost > LOST:
        found.append(f"Two lethal copies can meet: {percent(lost)} of what is conceived dies.")
    if harm:
        found.append(harm)
    ratio = weight_ratio(dam, sire)
    if ratio > WEIGHT_RATIO:
        heavier = dam if dam.grams > sire.grams else sire
        found.append(f"{heavier.animal.id} weighs {ratio:.1f} times the other.")
    return found


def readiness_caution(candidate: Candidate, when: Coming) -> str:
    """What speaks against an animal's readiness, '' where nothing does."""
    name, day = candidate.animal.id, when.pairing_days[candidate.animal.species]
    if np.isnan(candidate.p_ready):
        return f"Nothing in the book says when {name} is ready: age, weight and condition are yours to judge."
    if candidate.p_ready < READY:
        waits = f" (waits for {candidate.waits_for})" if candidate.waits_for not in ("", "nothing") else ""
        return f"{name} is ready by {day} with a chance of {percent(candidate.p_ready)}{waits}."
    return ""


def loan_caution(animal: Animal) -> str:
    """A sentence where the animal is on loan."""
    return f"{animal.id} is on loan." if animal.status == "on loan" else ""


def harmful(catalogue: Catalogue, spaces: tuple[Space, ...], odds: Odds, animal: Animal) -> frozenset[str]:
    """Names of genes with a welfare note that the animal may pass on: those it may carry, and lines on its label."""
    noted = {gene.name for gene in catalogue.genes if gene.welfare}
    found = {line for line in (animal.label.lines if animal.label else ()) if line in noted}
    for space, own in zip(spaces, odds, strict=True):
        for position, locus in enumerate(space.group.loci):
            for allele, gene in enumerate(locus.genes, start=1):
                if gene.name in noted:
                    states = space.states[space.kind(animal.sex)]
                    carries = [allele in genotype(state, position) for state in states]
                    if own[np.array(carries)].sum() >= HARMED:
                        found.add(gene.name)
    return frozenset(found)


def welfare_words(names: frozenset[str], catalogue: Catalogue) -> str:
    """The welfare notes of these genes, one after another."""
    noted: Mapping[str, Gene] = catalogue.by_name
    return " ".join(_sentence(f"{g.name}: {g.welfare}") for g in noted.values() if g.name in names)


def _sentence(text: str) -> str:
    return text if text.endswith((".", "!", "?")) else f"{text}."


def all_cautions(parts: Iterator[str] | list[str]) -> str | None:
    """Sentences as one text; None where there is none."""
    return " ".join(filter(None, parts)) or None
