"""A label as the columns of a price regression: which genes show, in two copies, or are carried."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from pipeline.findings.prices.robust import Floats
from pipeline.genetics.genes import Catalogue, Inheritance
from pipeline.genetics.statements import Statement

POSSIBLE = 0.5
"""What a 'possible het' without a number counts, as everywhere else: as likely as not."""


class Standing(StrEnum):
    """How a label has a gene. Two copies come on top of showing; a line-bred name is on the label or not."""

    SHOWS = "shows"
    TWO = "two copies"
    HET = "het"
    LINE = "line-bred"


@dataclass(frozen=True, order=True)
class Feature:
    """One column: a gene in one standing."""

    standing: Standing
    gene: str


def features_of(statement: Statement, catalogue: Catalogue) -> dict[Feature, float]:
    """The columns a label fills: 1, or for a 'P% het' its share. What it says is not there fills none."""
    found: dict[Feature, float] = {}
    for shown in statement.shows:
        found[Feature(Standing.SHOWS, shown.gene)] = 1.0
        if shown.copies == 2 and catalogue.by_name[shown.gene].inheritance is not Inheritance.RECESSIVE:
            found[Feature(Standing.TWO, shown.gene)] = 1.0
    for carried in statement.carries:
        chance = POSSIBLE if carried.probability is None else float(carried.probability)
        found[Feature(Standing.HET, carried.gene)] = chance
    return found | {Feature(Standing.LINE, name): 1.0 for name in statement.lines}


def inseparable(labels: Floats) -> list[list[int]]:
    """For each column of `labels` (distinct labels, features) the others that the labels can't tell it from.

    The column itself stands in its list where it can't be told from the base price, every label having it; an empty
    list says that it can be told. Columns that share a vector of the null space beside a constant can't be told apart.
    """
    whole = np.column_stack([labels, np.ones(len(labels))])
    _, values, right = np.linalg.svd(whole)
    rank = int(np.sum(values > 1e-9 * values.max(initial=1.0)))
    shared = np.abs(right[rank:].T @ right[rank:]) > 1e-9
    base = len(shared) - 1
    tied = []
    for i in range(base):
        others = [j for j in np.flatnonzero(shared[i, :base]).tolist() if j != i]
        tied.append(others + ([i] if shared[i, base] else []))
    return tied
