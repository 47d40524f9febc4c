"""How long the way to a goal of six genes takes to find in a collection of 200 animals. Run with -m benchmark.

`python -m tests.benchmarks.routes` prints the seconds.
"""

from dataclasses import replace
from random import Random
from time import process_time

from pipeline.findings.pairs.breeding import Breeding
from pipeline.findings.routes import route_findings
from pipeline.genetics.carriers.odds import carriers
from pipeline.genetics.genes import Catalogue, SexChromosomes
from tests.findings.pair_books import AS_OF, animal, book, gene
from tests.findings.route_books import SPECIES, growth, records_of

NAMES = ("Ash", "Birch", "Cedar", "Dusk", "Ember", "Fern")
KNOWN = Catalogue("Boa", tuple(gene(name) for name in NAMES), SexChromosomes.XY)
ANIMALS = 200
AT_MOST = 5.0
"""Seconds of computing for the quickest way."""


def collection(seed: int = 1):
    """200 animals: sixty bought, the rest bred from them, none with more than two of the six genes to see."""
    rng = Random(seed)
    made = []
    for number in range(ANIMALS):
        words = ("", "", "", "", "", "het {}", "het {}", "66% het {}", "66% het {}", "{}")
        label = ", ".join(filter(None, (rng.choice(words).format(name) for name in NAMES)))
        dam, sire = None, None
        if number >= 60:
            dam, sire = (f"A{rng.randrange(30) * 2 + turn}" for turn in (0, 1))
            label = "normal"
        made.append(
            animal(f"A{number}", "FM"[number % 2], label or "normal", dam=dam, sire=sire, known=KNOWN)
        )
    return book(*made, known=KNOWN, background_carrier=0.01, misread=0.05, wrong_label_seller=0.05)


def seconds() -> tuple[float, float, int]:
    """Seconds of computing for all six visuals in one animal: the quickest way alone; with the way within the inbreeding
    limit and all tables; and the steps of both ways. The carrier odds are not counted."""
    herd = collection()
    known = carriers(herd)
    records = records_of([("All", " ".join(NAMES))], SPECIES)
    taken = []
    for most in (0.5, herd.settings.inbreeding_at_most):
        asked = replace(herd, settings=replace(herd.settings, inbreeding_at_most=most))
        begun = process_time()
        found = route_findings(Breeding.of(asked, known), records, growth(), as_of=AS_OF)
        taken.append(process_time() - begun)
    return *taken, len(found.routes)


if __name__ == "__main__":
    print("quickest {:.1f} s, both ways {:.1f} s, {} steps".format(*seconds()))
