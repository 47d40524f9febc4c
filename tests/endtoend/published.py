"""Published counts of crosses, and the book a keeper would make of them.

Sources, by the key beside each cross:
MEN   Mendel 1866, Versuche über Pflanzen-Hybriden, translated in Bateson 1902, Mendel's Principles of Heredity, pp. 52-54;
      partly in tests/mendel.py.
HBS   McDonald 2014, Handbook of Biological Statistics, by page.
EMT   help of the R package EMT 1.3.1 (Menzel 2024).
MB16  Morgan & Bridges 1916, Sex-linked Inheritance in Drosophila: p. 32, and Table 62 on p. 80.
DAV   Davenport 1909, Inheritance of Characteristics in Domestic Fowl: Table 4 and chapter X.
MOR   Morgan 1916, A Critique of the Theory of Evolution.
F2L   Two-locus F2 counts that several public repositories print alike: maize (attributed from memory to Fisher,
      Statistical Methods for Research Workers, chapter IX) and sweet pea (attributed from memory to Bateson, Saunders
      and Punnett).
memory  recalled, source not seen.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from tests.mendel import MONOHYBRIDS, TEN_PLANTS, TRIHYBRID

Row = dict[str, object]
PEA, TOLD, FLY, FOWL = "Pea", "Pea with all genotypes told", "Fly", "Fowl"


@dataclass(frozen=True)
class Published:
    """One cross as printed. `clutches` holds, for each replicate, (look, sex, count) of its young."""

    name: str
    source: str
    species: str
    dam: str
    sire: str
    clutches: Sequence[Sequence[tuple[str, str | None, int]]]


def _young(looks: Sequence[str], counts: Sequence[int]) -> list[tuple[str, str | None, int]]:
    return [(look, None, count) for look, count in zip(looks, counts, strict=True)]


def _cross(
    name: str, source: str, species: str, parents: str, looks: str, *replicates: Sequence[int]
) -> Published:
    """`parents` is 'dam x sire', `looks` are the classes of young, separated by ' / '."""
    dam, sire = parents.split(" x ")
    classes = looks.split(" / ")
    return Published(name, source, species, dam, sire, [_young(classes, counts) for counts in replicates])


def _told(*genes: str) -> str:
    """Every genotype of incomplete dominant genes in order of copies, as looks."""
    copies = product(*(("", gene, f"Super {gene}") for gene in genes))
    return " / ".join(" ".join(filter(None, look)) or "normal" for look in copies)


_TWO = "normal / Green / Angular / Angular Green"
_WM = "normal / White Miniature / White / Miniature"
_F2, _BACK = "het Angular, het Green x het Angular, het Green", "het Angular, het Green x Angular Green"
_SELF, _TEST = "het Dwarf x het Dwarf", "het Dwarf x Dwarf"

CROSSES: tuple[Published, ...] = (
    *(
        _cross(f"F2 {trait}", "MEN", PEA, f"het {trait} x het {trait}", f"normal / {trait}", counts)
        for trait, counts in MONOHYBRIDS.items()
    ),
    _cross("seven traits", "MEN", PEA, "het Other x het Other", "normal / Other", *MONOHYBRIDS.values()),
    _cross("ten plants", "MEN", PEA, "het Angular x het Angular", "normal / Angular", *TEN_PLANTS),
    _cross("dihybrid", "MEN", PEA, _F2, _TWO, (315, 108, 101, 32)),
    _cross("back cross 1", "MEN", PEA, _BACK, _TWO, (31, 26, 27, 26)),
    _cross("back cross 2", "MEN", PEA, _BACK, _TWO, (24, 25, 22, 27)),
    _cross("back cross 3", "MEN", PEA, _BACK, _TWO, (47, 38, 40, 41)),
    _cross("nine", "MEN", TOLD, "Form Colour x Form Colour", _told("Form", "Colour"), (38, 65, 35, 60, 138, 67, 28, 68, 30)),
    _cross("27", "MEN", TOLD, "Form Coat Colour x Form Coat Colour", _told("Form", "Coat", "Colour"), TRIHYBRID),
    _cross("p46", "HBS p. 46", PEA, _SELF, "normal / Dwarf", (770, 230)),
    _cross("p50", "HBS p. 50", PEA, _SELF, "normal / Dwarf", (423, 133)),
    _cross("p47 rice", "HBS p. 47", TOLD, "Form x Form", "normal / Form / Super Form", (772, 1611, 737)),
    _cross("p47", "HBS p. 47", PEA, _TEST, "normal / Dwarf", (1752, 1895)),
    _cross("p30", "HBS p. 30", PEA, _TEST, "normal / Dwarf", (2, 8)),
    _cross("p31", "HBS p. 31", PEA, _SELF, "normal / Dwarf", (7, 5)),
    _cross("p33", "HBS p. 33", PEA, _F2, _TWO, (72, 38, 20, 18)),
    _cross("EMT", "EMT", TOLD, "Form x Form", "normal / Form / Super Form", (5, 2, 1)),
    _cross("split comb", "DAV Table 4", TOLD, "Form x Form", "normal / Form / Super Form", (235, 291, 144)),
    _cross("fowl 1", "DAV ch. X", PEA, _SELF, "normal / Dwarf", (64, 23)),
    _cross("fowl 2", "DAV ch. X", PEA, _SELF, "normal / Dwarf", (30, 14)),
    _cross("coupling", "MB16", FLY, "het White, het Miniature x White Miniature", _WM, (6219, 7378, 3754, 3337)),
    _cross("repulsion", "MB16", FLY, "het White, het Miniature x White Miniature", _WM, (671, 1047, 1651, 1116)),
    _cross("maize", "F2L", PEA, _F2, _TWO, (1997, 904, 906, 32)),
    _cross("sweet pea", "F2L", PEA, _F2, _TWO, (284, 21, 21, 55)),
    _cross("white daughters", "MB16 p. 32", FLY, "het White x White", "normal / White", (433, 457)),
    Published("short of sons", "MB16 p. 32", FLY, "het Pale", "normal", [[("normal", "F", 890), ("normal", "M", 372)]]),
    Published(
        "white eyes", "memory (Morgan 1910)", FLY, "het Eyeless white", "Eyeless white",
        [[("normal", "F", 129), ("Eyeless white", "F", 132), ("normal", "M", 88), ("Eyeless white", "M", 86)]],
    ),
    Published(
        "criss-cross", "MOR Figs. 39-40", FOWL, "Barred", "normal", [[("Barred", "M", 9), ("normal", "F", 8), ("Barred", "F", 1)]]
    ),
    _cross("yellow mice 1", "memory (Castle & Little 1910)", TOLD, "Yellow x Yellow", "Yellow / normal", (800, 435)),
    _cross("yellow mice 2", "memory (Cuénot 1905)", TOLD, "Yellow x Yellow", "Yellow / normal", (263, 100)),
    *(
        Published(f"sexes {m} of {n}", "HBS p. 34", PEA, "normal", "normal", [[("normal", "M", m), ("normal", "F", n - m)]])
        for m, n in ((10, 27), (36, 43), (140, 246))
    ),
)  # fmt: skip


def _gene(species: str, name: str, inheritance: str, **more: object) -> Row:
    return {"Species": species, "Gene": name, "Inheritance": inheritance, **more}


GENES: list[Row] = [
    *(_gene(PEA, trait, "recessive") for trait in (*MONOHYBRIDS, "Other")),
    *(_gene(TOLD, gene, "incomplete dominant") for gene in ("Form", "Coat", "Colour")),
    _gene(TOLD, "Yellow", "incomplete dominant", **{"Two copies": "lethal"}),
    _gene(FLY, "White", "recessive"),
    _gene(FLY, "Miniature", "recessive"),
    _gene(FLY, "Pale", "recessive", **{"Sex-linked": "yes", "Two copies": "lethal"}),
    _gene(FLY, "Eyeless white", "recessive", **{"Sex-linked": "yes"}),
    _gene(FOWL, "Barred", "incomplete dominant", **{"Sex-linked": "yes"}),
]
_SPECIES: list[Row] = [
    {"Species": PEA},
    {"Species": TOLD},
    {"Species": FLY, "Sex chromosomes": "XY"},
    {"Species": FOWL, "Sex chromosomes": "ZW"},
]


def published_rows(crosses: Sequence[Published] = CROSSES) -> Mapping[str, list[Row]]:
    """The records of a book in which each cross is a pairing and each replicate a clutch."""
    animals, pairings, hatch = [], [], []
    for cross in crosses:
        dam, sire = f"{cross.name} F", f"{cross.name} M"
        for own, sex, label in ((dam, "F", cross.dam), (sire, "M", cross.sire)):
            animals.append(
                {"ID": own, "Species": cross.species, "Sex": sex, "Genes": label, "Notes": cross.source}
            )
        pairings.append({"Pairing": cross.name, "Season": 2020, "Dam": dam, "Sire": sire})
        for number, young in enumerate(cross.clutches, start=1):
            hatch += [
                {"Pairing": cross.name, "Clutch": number, "Genes": look, "Sex": sex, "Count": count}
                for look, sex, count in young
            ]
    return {
        "Species": _SPECIES, "Genes": GENES, "Animals": animals, "Pairings": pairings, "Hatch results": hatch,
    }  # fmt: skip
