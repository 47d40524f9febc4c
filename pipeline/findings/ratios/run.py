"""The ratio findings of one book, from start to end."""

from dataclasses import dataclass

import pandas as pd

from pipeline.findings.ratios.answers import answers
from pipeline.findings.ratios.distributions import Distributions
from pipeline.findings.ratios.frames import Frames
from pipeline.findings.ratios.heterogeneity import heterogeneities
from pipeline.findings.ratios.nulls import Nulls
from pipeline.findings.ratios.partition import parts
from pipeline.findings.ratios.pooling import gene_answers
from pipeline.findings.ratios.questions import questions
from pipeline.findings.ratios.readings import readings
from pipeline.findings.ratios.verdicts import judged
from pipeline.genetics.collection import Collection


@dataclass(frozen=True)
class RatioFindings:
    """The ratio tables, each in the columns that store/tables.py declares (without `book`)."""

    tests: pd.DataFrame
    classes: pd.DataFrame
    resolutions: pd.DataFrame
    parts: pd.DataFrame
    heterogeneity: pd.DataFrame


def ratio_findings(collection: Collection, counts: pd.DataFrame, *, seed: int) -> RatioFindings:
    """Whether what hatched fits what the labels say.

    `counts` are the rows of store/sql/young_counts.sql for this book. The level is the collection's setting; `seed`
    starts the simulations. The order of the rows does not matter.
    """
    distributions = Distributions()
    asked = list(questions(Nulls(collection), readings(collection, counts)))
    found = answers(asked, distributions, seed=seed)
    pools = gene_answers(found, seed=seed)
    level = collection.settings.level
    verdicts = judged([*found, *pools], level)
    frames = Frames(collection, distributions)
    split = parts(found, collection.catalogues, distributions, seed=seed, level=level)
    return RatioFindings(
        frames.tests(verdicts),
        frames.classes(verdicts),
        frames.resolutions(verdicts),
        frames.parts(split),
        frames.heterogeneity(heterogeneities(found, pools)),
    )
