"""What can do harm: said in one place, shown on every page. Local law and a reptile vet come before any of it.

Facts carry their source; what has none says so. Wildlife law is data with a date, for it changes.
"""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class Caution:
    """One warning: a heading, what to mind, and where the fact in it is from ('' where it states none)."""

    title: str
    text: str
    source: str = ""


CITES_AS_OF = date(2007, 9, 13)
CITES = {
    "II": ("boas and pythons as families (Boidae, Pythonidae)",),
    "I": ("Boa constrictor occidentalis", "Python molurus molurus"),
}
"""What keepers of boas and pythons meet in the appendices, as of that day."""


def _listed() -> str:
    """The listing as one clause: 'X in Appendix II, Y and Z in Appendix I'."""
    return ", ".join(f"{' and '.join(names)} in Appendix {appendix}" for appendix, names in CITES.items())


CAUTIONS: tuple[Caution, ...] = (
    Caution(
        "A date is no target",
        "A growth curve says when an animal may reach breeding weight at its own pace. Feeding harder to get there "
        "sooner makes animals fat, and shortens lives. Weight alone makes no female fit to breed: condition, age and "
        "rest decide, and on an animal that loses weight or looks ill a reptile vet decides.",
        "Common practice, no source.",
    ),
    Caution(
        "Genes that hurt",
        "Some colour genes harm their carriers. Known and published: in the ball python the gene called spider comes "
        "with a malformed inner ear, and every animal examined wobbled; in the leopard gecko the gene called Lemon "
        "Frost comes with skin tumours. A ratio that fits is no reason to breed them. Where two copies are lethal, a "
        "pair of carriers loses a quarter of its young.",
        "Starck et al. 2022, PLoS ONE, doi 10.1371/journal.pone.0262788; Guo et al. 2021, PLoS Genetics "
        "17(6):e1009580. The quarter follows from Mendel's rule.",
    ),
    Caution(
        "Close kin",
        "Pairing kin brings out hidden recessive faults that no label names. Young that die, fail to thrive or are "
        "malformed are a reason to stop a line, whatever its colour.",
        "Common practice, no source.",
    ),
    Caution(
        "Large constrictors",
        "Large boas and pythons can injure or kill. Handle them with a second grown person at hand, lock their "
        "enclosures, and mind where their young will live: a litter finds homes more slowly than it is born.",
        "Common practice, no source.",
    ),
    Caution(
        "Wildlife law and permits",
        f"CITES lists {_listed()}. This is the list of {CITES_AS_OF:%Y-%m-%d}, and lists change: read the current one. "
        "Import, sale, transport and keeping have national and local rules besides; where they speak, they come before "
        "this page.",
        f"CITES appendices as of {CITES_AS_OF:%Y-%m-%d}; the subspecies in Appendix I by secondary sources.",
    ),
    Caution(
        "A price is no promise",
        "Prices here are what adverts and sales in the book said. Asking is not selling, few adverts are few, and a "
        "trend may end tomorrow. Nothing here is advice to buy or sell.",
    ),
    Caution(
        "A verdict is about records",
        "It says how well counts and labels agree. It proves no animal's genes and accuses nobody. Before an animal is "
        "sold under another label, let a test cross or a licensed laboratory settle it; illness and treatment are for "
        "a licensed vet.",
    ),
)
