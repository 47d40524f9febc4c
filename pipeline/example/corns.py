"""The corn snakes of the demo collection: sound families first, then one planted fault a family."""

from random import Random

from pipeline.example.genes import CORN, FROST_SURVIVAL, TRUTH
from pipeline.example.planted import Planted
from pipeline.example.world import Hatchling, World


def snow_project(world: World) -> tuple[str, str]:
    """Amel and Anery brought together over two generations; sound. Returns the two founders."""
    amel = world.founder("M", 2018, "Amel", Paid=70, Name="Ash")
    anery = world.founder("F", 2018, "Anery", Paid=60)
    first = world.litter(anery, amel, 2021, 16)
    daughters = [world.keep(first, "F", "het Amel, het Anery", "Normal, het Amel Anery") for _ in range(2)]
    son = world.keep(first, "M", "het Amel, het Anery", "Normal, het Amel Anery")
    second = world.litter(daughters[0], son, 2024, 18)
    world.keep(second, "F", "Amel, het Anery", "Amel, 66% het Anery")
    world.keep(second, "M", "het Amel, het Anery", "Normal, 66% het Amel Anery")
    third = world.litter(daughters[1], son, 2025, 17)
    world.keep(third, "M", "Amel Anery", "Snow", Name="Drift")
    latest = world.litter(daughters[0], son, 2026, 18)
    world.keep(latest, "F", "het Amel, het Anery", "Normal, 66% het Amel Anery", Status="for sale")
    return amel, anery


def earlier_mate(world: World, amel: str) -> Planted:
    """A clutch from sperm stored since the season before."""
    anery = world.founder("M", 2019, "Anery", Paid=65)
    dam = world.founder("F", 2018, "Normal, het Amel Anery", Paid=40)
    world.litter(dam, anery, 2023, 16)
    world.litter(dam, amel, 2025, 15)
    stored = world.litter(dam, anery, 2026, 16, true_sire=world.parents[amel])
    return Planted(
        "parentage", stored.pairing, f"Booked to {anery}; sired by {amel}, her mate of 2025.", (stored.pairing,), ("Amel",),
        "impossible",
    )  # fmt: skip


def misread_young(world: World, anery: str) -> Planted:
    """One young written down as something its clutch can't hold."""
    sire = world.founder("M", 2019, "Normal, het Anery", Paid=35)
    world.litter(anery, sire, 2022, 16)
    world.litter(anery, sire, 2024, 16)
    litter = world.litter(anery, sire, 2026, 17)
    young = next(h for h in litter.young if h.look == "Normal")
    litter.young.remove(young)
    litter.young.append(Hatchling(young.sex, young.diplotypes, "Amel", young.genotypes))
    return Planted(
        "reading", litter.pairing, "One young is written down as Amel; it is normal.", (litter.pairing,), ("Amel",),
        "impossible",
    )  # fmt: skip


def one_pattern_locus(world: World) -> Planted:
    """Motley and Stripe are alleles; the Genes sheet has them at two loci."""
    motley, stripe = world.founder("M", 2019, "Motley", Paid=50), world.founder("F", 2018, "Stripe", Paid=55)
    other_stripe, other_motley = (
        world.founder("M", 2019, "Stripe", Paid=55),
        world.founder("F", 2018, "Motley", Paid=50),
    )
    plain = world.founder("M", 2019, "Normal", Paid=20)
    world.litter(other_motley, plain, 2022, 15)
    world.litter(stripe, plain, 2024, 15)
    crossed = [world.litter(stripe, motley, 2022, 15), world.litter(other_motley, other_stripe, 2024, 14)]
    daughter = world.keep(crossed[0], "F", "Motley, het Stripe", "Motley", Notes="a surprise")
    back = world.litter(daughter, other_stripe, 2025, 15)
    return Planted(
        "gene record", "Motley, Stripe", "Recorded as two loci; they are alleles of one.",
        (*(x.pairing for x in crossed), back.pairing), ("Motley",), "impossible",
    )  # fmt: skip


def linked_colours(world: World) -> Planted:
    """Heather and Flint travel together; the Genes sheet has them unlinked."""
    dams = [world.founder("F", 2018, "Heather Flint", Paid=120) for _ in range(2)]
    plain = world.founder("M", 2019, "Normal", Paid=20)
    first = world.litter(dams[0], plain, 2021, 15)
    sons = [world.keep(first, "M", "het Heather, het Flint", "Normal, het Heather Flint") for _ in range(2)]
    litters = [
        world.litter(dams[1], sons[0], 2023, 18),
        world.litter(dams[1], sons[1], 2024, 17),
        world.litter(dams[1], sons[0], 2026, 18),
    ]
    world.keep(litters[0], "F", "Heather Flint", "Heather Flint")
    world.keep(litters[2], "M", "Heather Flint", "Heather Flint")
    world.keep(litters[2], "F", "het Heather, het Flint", "Normal, het Heather Flint")
    return Planted(
        "gene record", "Flint, Heather", "Recorded as unlinked; they part in 8 % of gametes.",
        tuple(x.pairing for x in litters), (), "departs",
    )  # fmt: skip


def frail_frost(world: World) -> Planted:
    """Two-copy Frost young mostly die in the egg, unseen."""

    def survives(young: Hatchling, rng: Random) -> bool:
        frost = TRUTH[CORN].locus_of["Frost"].name
        return young.genotypes[frost] != (1, 1) or rng.random() < FROST_SURVIVAL

    sire = world.founder("M", 2019, "Frost", Paid=90)
    dams = [world.founder("F", born, "Normal, het Frost", Paid=60) for born in (2017, 2018)]
    litters = [
        world.litter(dam, sire, season, 22, survives=survives)
        for dam, season in (
            (dams[0], 2022),
            (dams[1], 2023),
            (dams[0], 2024),
            (dams[1], 2025),
            (dams[1], 2026),
        )
    ]
    world.keep(litters[0], "F", "Frost", "Frost")
    world.keep(litters[4], "M", "het Frost", "Normal, het Frost")
    return Planted(
        "gene record", "Frost", f"Only {FROST_SURVIVAL:.0%} of two-copy young live; the Genes sheet knows nothing of it.",
        tuple(x.pairing for x in litters), ("Frost",), "departs", gene_scope=True,
    )  # fmt: skip


def corns(world: World) -> tuple[Planted, ...]:
    """All corn snake families into the world; returns what was planted."""
    assert world.species == CORN
    amel, anery = snow_project(world)
    ember = world.founder("F", 2019, "Ember", Paid=45)
    plain = world.founder("M", 2019, "Normal", Paid=20)
    clutch = world.litter(ember, plain, 2023, 15)
    world.keep(clutch, "F", "Ember", "Ember")
    world.keep(clutch, "M", "Ember", "Ember")
    world.keep(clutch, "F", "Normal", "Normal", Status="for sale")
    return (
        earlier_mate(world, amel),
        misread_young(world, anery),
        one_pattern_locus(world),
        linked_colours(world),
        frail_frost(world),
    )
