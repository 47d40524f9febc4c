"""The boas of the demo collection: sound families first, then one planted fault a family."""

from pipeline.example.genes import BOA
from pipeline.example.planted import Planted
from pipeline.example.world import World


def ghost_project(world: World) -> str:
    """Hypo and Anery brought together over two generations; sound. Returns the Anery male other families borrow."""
    anery = world.founder("M", 2016, "Anery", Paid=350, Name="Slate")
    hypo = world.founder("F", 2015, "Hypo", Paid=500)
    first = world.litter(hypo, anery, 2021, 16)
    daughters = [world.keep(first, "F", "Hypo, het Anery", "Hypo, het Anery") for _ in range(2)]
    son = world.keep(first, "M", "Hypo, het Anery", "Hypo, het Anery", Name="Rust")
    world.keep(first, "F", "het Anery", "Normal, het Anery", Status="sold")
    second = world.litter(hypo, anery, 2023, 15)
    world.keep(second, "M", "het Anery", "Normal, het Anery")
    world.keep(second, "F", "Hypo, het Anery", "Hypo, het Anery")
    world.keep(second, "F", "het Anery", "Normal, het Anery", Status="for sale")
    ghosts = world.litter(daughters[0], son, 2025, 18)
    world.keep(ghosts, "F", "Hypo Anery", "Ghost", Name="Mist")
    world.keep(ghosts, "F", "Hypo, het Anery", "Hypo, 66% het Anery")
    latest = world.litter(daughters[1], son, 2026, 16)
    world.keep(latest, "F", "Hypo, het Anery", "Hypo, 66% het Anery", Status="for sale")
    world.keep(latest, "M", "Hypo, het Anery", "Hypo, 66% het Anery")
    world.founder("F", 2023, "Hypo, 66% het Anery", truth="Hypo, het Anery", Paid=150)
    return anery


def false_het(world: World, anery: str) -> Planted:
    """A female sold as het that carries nothing."""
    dam = world.founder("F", 2015, "Normal, het Anery", truth="Normal", Paid=400)
    litters = [world.litter(dam, anery, season, young) for season, young in ((2024, 15), (2026, 14))]
    world.keep(litters[0], "F", "het Anery", "Normal, het Anery", Status="sold")
    return Planted(
        "label",
        dam,
        "Sold as het Anery; she does not carry it.",
        tuple(x.pairing for x in litters),
        ("Anery",),
        "departs",
    )


def hidden_carrier(world: World, anery: str) -> Planted:
    """A male bought as normal that carries Leopard."""
    sire = world.founder("M", 2017, "Normal", truth="het Leopard", Paid=80)
    dam = world.founder("F", 2015, "Leopard", Paid=600, Name="Ocelot")
    litters = [world.litter(dam, sire, season, young) for season, young in ((2022, 14), (2026, 15))]
    world.keep(litters[0], "F", "Leopard", "Leopard")
    world.keep(litters[1], "M", "Leopard", "Leopard")
    sound = world.litter(dam, anery, 2024, 15)
    world.keep(sound, "F", "het Leopard, het Anery", "Normal, het Leopard Anery")
    world.keep(sound, "M", "het Leopard, het Anery", "Normal, het Leopard Anery")
    return Planted(
        "label",
        sire,
        "Bought as normal; he carries Leopard.",
        tuple(x.pairing for x in litters),
        ("Leopard",),
        "impossible",
    )


def other_male(world: World, normal: str, hypo: str) -> Planted:
    """A litter booked to the normal male that the Hypo male sired."""
    dam = world.founder("F", 2016, "Anery", Paid=190)
    world.litter(dam, normal, 2024, 14)
    litter = world.litter(dam, normal, 2026, 14, true_sire=world.parents[hypo])
    return Planted(
        "parentage",
        litter.pairing,
        f"Booked to {normal}; {hypo} is the sire.",
        (litter.pairing,),
        ("Hypo",),
        "impossible",
    )


def no_male(world: World, normal: str) -> Planted:
    """Young without a father: all female, all as the mother."""
    dam = world.founder("F", 2016, "Anery Leopard", Paid=1200, Name="Smoke")
    litter = world.litter(dam, normal, 2023, 10, alone=True)
    world.litter(dam, normal, 2025, 14)
    return Planted(
        "parentage", litter.pairing, f"Booked to {normal}; the young have no sire at all.", (litter.pairing,),
        ("Anery", "Leopard"), "impossible",
    )  # fmt: skip


def unknown_male(world: World, normal: str) -> Planted:
    """A female that arrived gravid by a male the keeper never saw."""
    dam = world.founder("F", 2016, "Normal", Paid=110, Notes="arrived in spring 2021, perhaps gravid")
    litter = world.litter(dam, normal, 2021, 13, true_sire=world.real("M", "Speckle"))
    world.litter(dam, normal, 2023, 15)
    speckle = world.founder("F", 2017, "Speckle", Paid=300)
    clean = world.litter(speckle, normal, 2024, 14)
    world.keep(clean, "F", "Speckle", "Speckle")
    world.keep(clean, "M", "Normal", "Normal", Status="for sale")
    return Planted(
        "parentage", litter.pairing, f"Booked to {normal}; the sire is a male not in the book.", (litter.pairing,),
        ("Speckle",), "impossible",
    )  # fmt: skip


def two_albinos(world: World) -> Planted:
    """Two albino strains recorded as one locus that are not."""
    amber = world.founder("M", 2017, "Albino Amber", Paid=450)
    rose = world.founder("F", 2016, "Albino Rose", Paid=550)
    other_amber = world.founder("M", 2018, "Albino Amber", Paid=400)
    other_rose = world.founder("F", 2016, "Albino Rose", Paid=500)
    het = world.founder("F", 2016, "Normal, het Albino Amber", Paid=200)
    sound = world.litter(het, amber, 2021, 14)
    world.keep(sound, "F", "Albino Amber", "Albino Amber")
    world.keep(sound, "M", "het Albino Amber", "Normal, het Albino Amber", Status="sold")
    rose_het = world.founder("M", 2018, "Normal, het Albino Rose", Paid=180)
    proving = world.litter(rose, rose_het, 2024, 14)
    world.keep(proving, "F", "Albino Rose", "Albino Rose")
    crossed = [
        world.litter(rose, amber, 2022, 15),
        world.litter(other_rose, other_amber, 2024, 14),
        world.litter(rose, amber, 2026, 14),
    ]
    world.keep(crossed[0], "F", "het Albino Amber, het Albino Rose", "Normal", Notes="from two albinos")
    return Planted(
        "gene record", "Albino Amber, Albino Rose", "Recorded as alleles of one locus; they are two loci.",
        tuple(x.pairing for x in crossed), ("Albino",), "impossible",
    )  # fmt: skip


def lethal_motley(world: World, motley: str) -> Planted:
    """Two copies of Motley die; the Genes sheet calls them viable."""
    dams = [world.founder("F", born, "Motley", Paid=250) for born in (2015, 2016)]
    litters = [
        world.litter(dams[0], motley, 2021, 17),
        world.litter(dams[1], motley, 2022, 17),
        world.litter(dams[0], motley, 2023, 18),
        world.litter(dams[1], motley, 2024, 17),
        world.litter(dams[0], motley, 2025, 17),
        world.litter(dams[1], motley, 2026, 17),
    ]
    world.keep(litters[0], "F", "Motley", "Motley")
    world.keep(litters[4], "F", "Motley", "Motley")
    world.keep(litters[4], "M", "Normal", "Normal", Status="for sale")
    return Planted(
        "gene record", "Motley", "Recorded as viable in two copies; young with two copies die.",
        tuple(x.pairing for x in litters), ("Motley",), "departs", gene_scope=True,
    )  # fmt: skip


def prove_motleys(world: World, first: str, normal: str) -> None:
    """Young of two Motley paired with the normal male: they all give normal young, none has two copies."""
    (litter,) = (own for own in world.litters if own.pairing == first)
    for season in (2025, 2025, 2026):
        daughter = world.keep(litter, "F", "Motley", "Motley")
        world.litter(daughter, normal, season, 11)


def dominant_ladder(world: World, normal: str, anery: str) -> Planted:
    """Ladder shows in one copy; the Genes sheet calls it recessive."""
    dam = world.founder("F", 2016, "Ladder", Paid=280)
    litters = [world.litter(dam, normal, 2022, 15), world.litter(dam, anery, 2024, 14)]
    world.keep(litters[0], "F", "Ladder", "Ladder")
    return Planted(
        "gene record", "Ladder", "Recorded as recessive; it is dominant.", tuple(x.pairing for x in litters), ("Ladder",),
        "impossible",
    )  # fmt: skip


def boas(world: World) -> tuple[Planted, ...]:
    """All boa families into the world; returns what was planted."""
    assert world.species == BOA
    anery = ghost_project(world)
    normal = world.founder("M", 2016, "Normal", Paid=60, Name="Bracken")
    hypo = world.founder("M", 2017, "Hypo", Paid=200)
    motley = world.founder("M", 2017, "Motley", Paid=220)
    planted = (
        false_het(world, anery),
        hidden_carrier(world, anery),
        other_male(world, normal, hypo),
        no_male(world, normal),
        unknown_male(world, normal),
        two_albinos(world),
        lethal_motley(world, motley),
        dominant_ladder(world, normal, anery),
    )
    (lethal,) = (own for own in planted if own.subject == "Motley")
    prove_motleys(world.aside(), lethal.pairings[0], normal)
    return planted
