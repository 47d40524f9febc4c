"""Pairs whose records are hardly all right, though no single one is likely enough to be wrong to be reported.

Two parents written as visuals whose young are all normal leave two labels equally in doubt: each may be the wrong one.
"""

from collections.abc import Iterator

from pipeline.findings.shares import percent
from pipeline.genetics.carriers.families import Clutch
from pipeline.genetics.collection import Collection
from pipeline.genetics.suspicions.answer import OF_SPECIES, Suspicion, Suspicions
from pipeline.problems import Place, Problem, Severity

LEAST = 0.2
"""A record less likely to be wrong is not named among those that share the blame."""
Couple = tuple[str, tuple[str, ...]]
"""A dam and the males that her pairing names."""


def undecided(collection: Collection, weighed: Suspicions, reported_from: float) -> Iterator[Problem]:
    """A warning for each couple of whose records several below `reported_from` (0..1) come to it together, where no
    suspicion that is reported touches them. `weighed`: every suspicion from LEAST on."""
    for couple, (clutch, suspects) in _by_couple(weighed).items():
        if len(suspects) < 2 or any(own.probability >= reported_from for own in suspects):
            continue
        if sum(own.probability for own in suspects) < reported_from:
            continue
        names = [f"{own.kind} of {own.subject} ({percent(own.probability)})" for own in suspects]
        pairing = collection.pairings[str(clutch.key[0])]
        yield Problem(
            Severity.WARNING,
            Place(collection.book, "Pairings", pairing.row or None),
            f"What {couple[0]} and {' or '.join(couple[1])} are written as and their young hardly go together, and no single "
            f"record stands out: {', '.join(names)}.",
            "Pair each with another mate, or lower 'Report suspicion from (%)' on the sheet Settings to read what speaks for each.",
        )


def _by_couple(weighed: Suspicions) -> dict[Couple, tuple[Clutch, list[Suspicion]]]:
    """By couple, its first pairing's clutch and every suspicion of its labels, its clutches and the genes they speak of."""
    found: dict[Couple, tuple[Clutch, list[Suspicion]]] = {}
    for own in weighed.structures:
        here: dict[int, list[Suspicion]] = {}
        for suspicion in weighed.found:
            if suspicion.species == own.species:
                here.setdefault(suspicion.family, []).append(suspicion)
        for i, family in enumerate(own.families):
            for clutch in family.clutches if i in here else ():
                touching = [s for s in here[i] if _touches(s, clutch)]
                if clutch.key[0] and clutch.recorded and touching:
                    _, known = found.setdefault((clutch.dam, clutch.recorded), (clutch, []))
                    genes = {s.gene for s in touching}
                    touching += [s for s in here.get(OF_SPECIES, ()) if genes & {*s.genes}]
                    known += [s for s in touching if s not in known]
    return found


def _touches(own: Suspicion, clutch: Clutch) -> bool:
    if own.clutch is not None:
        return own.clutch.key == clutch.key
    return own.animal in (clutch.dam, *clutch.recorded, *clutch.children)
