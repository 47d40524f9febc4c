"""Classes of young and ratios in words a keeper uses."""

import numpy as np

from pipeline.findings.ratios.distributions import Distribution, YoungKind
from pipeline.findings.ratios.questions import Question, Tally
from pipeline.genetics.genes import Catalogue, Locus

MOST_NAMED = 6
"""Classes up to which a ratio names each."""
_SEXES = {"F": "female", "M": "male", None: ""}


def gene_name(locus: Locus) -> str:
    """What a locus is called: by its gene where it has one, else by its own name."""
    return locus.genes[0].name if len(locus.genes) == 1 else locus.name


def kind_name(kind: YoungKind, tally: Tally, question: Question, catalogue: Catalogue) -> str:
    """A class of young as a label; genes that could not be read are named as such."""
    shown = " ".join(name for look in kind.looks for name in look or ()) or "normal"
    read = {loci[i] for (_, _, loci), own in zip(question.groups, tally.readable, strict=True) for i in own}
    unread = [gene_name(catalogue.loci[locus]) for locus in question.loci if locus not in read]
    text = f"{_SEXES[kind.sex]} {shown}".strip()
    return f"{text} ({', '.join(unread)} not readable)" if unread else text


def ratio_words(distribution: Distribution) -> str:
    """'3 normal : 1 Albino'; with many classes the numbers alone, with very many their count."""
    terms = whole_ratio(distribution)
    if len(terms) > 16:
        return f"{len(terms)} classes"
    if len(terms) > MOST_NAMED:
        return ":".join(terms)
    names = [
        f"{_SEXES[kind.sex]} {' '.join(name for look in kind.looks for name in look or ()) or 'normal'}".strip()
        for kind in distribution.classes
    ]
    if len(names) == 1:
        return f"all {names[0]}"
    return " : ".join(f"{term} {name}" for term, name in zip(terms, names, strict=True))


def whole_ratio(distribution: Distribution) -> list[str]:
    """The probabilities as the smallest whole numbers, up to 1024 in all; as percentages where there are none."""
    shares = distribution.probabilities
    totals = np.arange(1, 1025)
    scaled = totals[:, None] * shares
    fits = np.flatnonzero((np.abs(scaled - scaled.round()) < 1e-6).all(axis=1))
    if not fits.size:
        return [f"{100 * share:.3g} %" for share in shares.tolist()]
    return [str(int(value)) for value in scaled[fits[0]].round()]
