"""The genes of the demo collection: as its invented keeper recorded them, and as they really are.

Everything here is invented: the genes bear plain descriptive names and say nothing about real strains.
"""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from pipeline.genetics.genes import Catalogue, Gene, Inheritance, SexChromosomes

BOA = "Common boa"
CORN = "Corn snake"

_RECESSIVE, _DOMINANT, _INCOMPLETE = Inheritance.RECESSIVE, Inheritance.DOMINANT, Inheritance.INCOMPLETE


def _gene(name: str, inheritance: Inheritance, **more: Any) -> Gene:
    return Gene(name=name, inheritance=inheritance, **{"locus": name, **more})


_BOA_RECORDED = (
    _gene("Anery", _RECESSIVE, aliases=("Anerythristic",)),
    _gene("Hypo", _DOMINANT, aliases=("Hypomelanistic",)),
    _gene("Motley", _INCOMPLETE, aliases=("Mot",)),
    _gene("Leopard", _RECESSIVE),
    _gene("Albino Amber", _RECESSIVE, locus="Albino", aliases=("Amber",)),
    _gene("Albino Rose", _RECESSIVE, locus="Albino", aliases=("Rose",)),
    _gene("Ladder", _RECESSIVE),
    _gene("Speckle", _DOMINANT),
    _gene("Sunset", Inheritance.LINE_BRED),
)
_BOA_TRUTH: dict[str, dict[str, Any]] = {
    "Motley": {"lethal": True},
    "Albino Amber": {"locus": "Albino Amber"},
    "Albino Rose": {"locus": "Albino Rose"},
    "Ladder": {"inheritance": _DOMINANT},
}
_CORN_RECORDED = (
    _gene("Amel", _RECESSIVE, aliases=("Amelanistic",)),
    _gene("Anery", _RECESSIVE, aliases=("Anerythristic",)),
    _gene("Motley", _RECESSIVE),
    _gene("Stripe", _RECESSIVE, aliases=("Striped",)),
    _gene("Heather", _RECESSIVE),
    _gene("Flint", _RECESSIVE),
    _gene("Frost", _RECESSIVE, welfare="Young with two copies often die in the egg; breed it with care."),
    _gene("Ember", _DOMINANT),
)
_CORN_TRUTH: dict[str, dict[str, Any]] = {
    "Motley": {"locus": "Pattern", "rank": 1},
    "Stripe": {"locus": "Pattern", "rank": 2},
    "Flint": {"linked_locus": "Heather", "recombination": 0.08},
}
FROST_SURVIVAL = 0.2
"""Share of two-copy Frost young that live, which the book doesn't know."""


def _true(recorded: tuple[Gene, ...], changes: Mapping[str, Mapping[str, Any]]) -> tuple[Gene, ...]:
    return tuple(replace(gene, **changes.get(gene.name, {})) for gene in recorded)


RECORDED = {
    BOA: Catalogue(BOA, _BOA_RECORDED, SexChromosomes.XY, {"Ghost": "Anery Hypo"}),
    CORN: Catalogue(CORN, _CORN_RECORDED, SexChromosomes.ZW, {"Snow": "Amel Anery"}),
}
TRUTH = {
    BOA: replace(RECORDED[BOA], genes=_true(_BOA_RECORDED, _BOA_TRUTH)),
    CORN: replace(RECORDED[CORN], genes=_true(_CORN_RECORDED, _CORN_TRUTH)),
}

SPECIES_ROWS = [
    {
        "Species": BOA, "Scientific name": "Boa imperator", "Young": "live", "Sex chromosomes": "XY",
        "Female breeding weight": 2000, "Male breeding weight": 700, "Female breeding age": 36, "Male breeding age": 24,
        "Rest between litters": 18, "Days to young": 110, "Typical litter": 15,
        "Notes": "Sizes and ages are this invented keeper's own choice.",
    },
    {
        "Species": CORN, "Scientific name": "Pantherophis guttatus", "Young": "eggs", "Sex chromosomes": "ZW",
        "Female breeding weight": 300, "Male breeding weight": 200, "Female breeding age": 30, "Male breeding age": 18,
        "Rest between litters": 7, "Days to young": 62, "Typical litter": 16,
        "Notes": "Sizes and ages are this invented keeper's own choice.",
    },
]  # fmt: skip


def gene_rows() -> list[dict[str, Any]]:
    """The Genes sheet, as recorded."""
    return [_row(species, gene) for species, catalogue in RECORDED.items() for gene in catalogue.genes]


def _row(species: str, gene: Gene) -> dict[str, Any]:
    return {
        "Species": species,
        "Gene": gene.name,
        "Also written": "; ".join(gene.aliases) or None,
        "Inheritance": gene.inheritance.value,
        "Locus": None if gene.locus == gene.name else gene.locus,
        "Dominance rank": gene.rank,
        "Two copies": "lethal" if gene.lethal else None,
        "Welfare note": gene.welfare or None,
    }


def morph_rows() -> list[dict[str, Any]]:
    """The Morph names sheet."""
    return [
        {"Species": species, "Name": name, "Genes": genes}
        for species, catalogue in RECORDED.items()
        for name, genes in catalogue.morphs.items()
    ]
