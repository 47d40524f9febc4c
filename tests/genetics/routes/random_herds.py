"""Small random collections: genes, animals and a goal."""

from random import Random

from pipeline.genetics.genes import Catalogue, Gene, Inheritance, SexChromosomes
from pipeline.genetics.routes.timing import Timing
from tests.genetics.routes.oracle import Beast

_KINDS = (Inheritance.RECESSIVE, Inheritance.RECESSIVE, Inheritance.DOMINANT, Inheritance.INCOMPLETE)
NAMES = ("Amber", "Birch", "Cedar", "Dusk")


def random_catalogue(rng: Random, genes: int, *, linked: bool = False, sex_linked: bool = False) -> Catalogue:
    """Unlinked genes of any kind; `linked`: the second travels with the first; `sex_linked`: the first is so."""
    made = []
    for i, name in enumerate(NAMES[:genes]):
        kind = rng.choice(_KINDS)
        lethal = kind is Inheritance.INCOMPLETE and rng.random() < 0.4
        link = ("Amber", rng.choice((0.0, 0.1, 0.3))) if linked and i == 1 else (None, None)
        made.append(
            Gene(name, kind, name, lethal=lethal, sex_linked=sex_linked and i == 0, linked_locus=link[0],
                 recombination=link[1])
        )  # fmt: skip
    return Catalogue("Snake", tuple(made), rng.choice((SexChromosomes.XY, SexChromosomes.ZW)))


def random_label(rng: Random, catalogue: Catalogue, sex: str) -> str:
    """What an animal of that sex may be called."""
    words = []
    for gene in catalogue.genes:
        draw = rng.random()
        recessive = gene.inheritance is Inheritance.RECESSIVE
        single = gene.sex_linked and sex == catalogue.sex_chromosomes.single_copy_sex
        if draw < 0.3:
            words.append(gene.name)
        elif recessive and not single and draw < 0.7:
            words.append(f"{rng.choice(('', '50% ', '66% '))}het {gene.name}")
    return ", ".join(words) or "normal"


def random_goal(rng: Random, catalogue: Catalogue) -> str:
    """Every gene of the catalogue, shown, het, or (dominant ones) in two copies."""
    words = []
    for gene in catalogue.genes:
        draw = rng.random()
        if gene.inheritance is Inheritance.RECESSIVE and draw < 0.2 and not gene.sex_linked:
            words.append(f"het {gene.name}")
        elif (
            gene.inheritance is not Inheritance.RECESSIVE
            and draw < 0.2
            and not gene.lethal
            and not gene.sex_linked
        ):
            words.append(f"super {gene.name}")
        else:
            words.append(gene.name)
    return ", ".join(words)


def random_herd(rng: Random, catalogue: Catalogue, animals: int) -> list[Beast]:
    """At least one of each sex."""
    sexes = ["F", "M", *(rng.choice("FM") for _ in range(animals - 2))]
    return [
        Beast(f"A{i}", sex, random_label(rng, catalogue, sex), 2027 + rng.choice((0, 0, 1, 2)))
        for i, sex in enumerate(sexes)
    ]


def random_timing(rng: Random) -> Timing:
    return Timing(
        rng.choice((1, 4, 9, 15)),
        rng.choice((1, 2)),
        {"F": rng.choice((2, 3, 4)), "M": rng.choice((1, 2, 3))},
    )
