"""Small random collections with every oddity of the model: loops, back-crosses, doubtful sires, all inheritances."""

from random import Random

from pipeline.genetics.collection import Animal, Basis, Collection, Outcome, Pairing, Settings, Young
from pipeline.genetics.genes import Catalogue, Gene, Inheritance, SexChromosomes
from pipeline.genetics.labels import read_label

RECESSIVE, INCOMPLETE, DOMINANT = Inheritance.RECESSIVE, Inheritance.INCOMPLETE, Inheritance.DOMINANT


def gene(name, inheritance=RECESSIVE, locus=None, **more):
    return Gene(name, inheritance, locus or name, **more)


CATALOGUES = {
    "recessive": ((gene("Ash"), gene("Fog", misread=0.03)), "XY"),
    "incomplete, lethal twice": ((gene("Ember", INCOMPLETE, lethal=True), gene("Ash")), "XY"),
    "dominant": ((gene("Bark", DOMINANT), gene("Ash", later=True)), "unknown"),
    "series": (
        (gene("Ash", RECESSIVE, "tone"), gene("Smoke", RECESSIVE, "tone"), gene("Ember", INCOMPLETE)),
        "XY",
    ),
    "ranked series": ((gene("Bark", DOMINANT, "coat", rank=1), gene("Moss", DOMINANT, "coat", rank=2)), "XY"),
    "sex-linked, XY": ((gene("Fog", sex_linked=True), gene("Ember", INCOMPLETE)), "XY"),
    "sex-linked, lethal twice, XY": (
        (gene("Ember", INCOMPLETE, sex_linked=True, lethal=True), gene("Ash")),
        "XY",
    ),
    "sex-linked, lethal twice, ZW": ((gene("Fog", sex_linked=True, lethal=True), gene("Ash")), "ZW"),
    "sex-linked, ZW": ((gene("Ember", INCOMPLETE, sex_linked=True), gene("Ash")), "ZW"),
    "linked": ((gene("Ash"), gene("Bark", DOMINANT, linked_locus="Ash", recombination=0.2)), "XY"),
    "linked on the sex chromosome": (
        (
            gene("Fog", sex_linked=True),
            gene("Ember", INCOMPLETE, sex_linked=True, linked_locus="Fog", recombination=0.1),
        ),
        "XY",
    ),
}


def catalogue(mode):
    genes, chromosomes = CATALOGUES[mode]
    return Catalogue("Boa", genes, SexChromosomes(chromosomes))


def random_book(seed, mode, *, animals=5, settings=None, sires=True):
    """A collection of a few animals of one species; `sires`: doubtful ones too."""
    rng = Random(f"{mode}/{seed}")
    own = catalogue(mode)
    count = 3 if any(g.linked_locus for g in own.genes) else rng.randint(3, animals)
    born = sorted(rng.randint(2010, 2020) for _ in range(count))
    herd, pairings, young = {}, {}, []
    for year in born:
        one, dam, sire = _animal(rng, own, herd, year)
        if dam and sire and not one.dam:
            pairing = f"P{len(pairings)}"
            others = tuple(m for m in _of_sex(herd, "M") if m != sire and rng.random() < 0.2)
            pairings[pairing] = Pairing(pairing, "Boa", year, dam, sire, others)
            young += [_hatched(rng, own, pairing, one), *_tallies(rng, own, pairing)]
        herd[one.id] = one
    females, males = _of_sex(herd, "F"), _of_sex(herd, "M")
    if rng.random() < 0.7:
        pairings["Q"] = Pairing("Q", "Boa", 2022, rng.choice(females), rng.choice(males))
        young += _tallies(rng, own, "Q")
    settings = settings or Settings(
        background_carrier=rng.choice([0.01, 0.1]),
        misread=rng.choice([0.01, 0.1]),
        wrong_sire=rng.choice([0.02, 0.2]) if sires else 0,
    )
    return Collection("random", {"Boa": own}, herd, pairings, tuple(young), settings)


def _of_sex(herd, sex):
    return [a.id for a in herd.values() if a.sex == sex]


def _animal(rng, own, herd, year):
    """The next animal, with its dam and sire; those of one that hatched here stand with its pairing alone."""
    place, females, males = len(herd), _of_sex(herd, "F"), _of_sex(herd, "M")
    how = rng.choice(["founder", "both", "both", "hatched", "half"]) if females and males else "founder"
    sex = "FM"[place] if place < 2 else rng.choice(["F", "M", None])
    label = _label(rng, own, founder=how == "founder")
    basis = rng.choice(list(Basis))
    dam, sire = (rng.choice(females), rng.choice(males)) if how != "founder" else (None, None)
    if how == "half":
        dam, sire = rng.choice([(dam, None), (None, sire)])
    told = (None, None) if how == "hatched" else (sire, dam)
    born = year if rng.random() < 0.9 else None
    return Animal(f"A{place}", "Boa", sex, label, basis, *told, born_year=born), dam, sire


def _hatched(rng, own, pairing, animal):
    """The hatch row of an animal."""
    look = _label(rng, own, founder=False)
    sex = rng.choice([animal.sex, None])
    return Young(pairing, look, sex=sex, animal=animal.id, unreadable=_unread(rng, own))


def _tallies(rng, own, pairing):
    return [
        Young(
            pairing,
            _label(rng, own, founder=False),
            rng.randint(1, 6),
            sex=rng.choice(["F", "M", None]),
            outcome=rng.choice([Outcome.LIVE, Outcome.STILLBORN]),
            unreadable=_unread(rng, own),
        )
        for _ in range(rng.randint(0, 3))
    ]


def _unread(rng, own):
    return frozenset(g.name for g in own.genes if rng.random() < 0.1)


def _label(rng, own, *, founder):
    """A label that reads without fault; of a locus with several genes only what shows."""
    if rng.random() < 0.15:
        return None
    words, taken = [], set()
    for g in own.genes:
        alone = len(own.locus_of[g.name].genes) == 1
        if g.locus in taken:
            continue
        word = rng.choice(
            ["", "", "", g.name, f"super {g.name}", f"het {g.name}", f"66% het {g.name}", f"not {g.name}"]
        )
        if not alone and word and word != g.name:
            word = ""
        if (
            g.inheritance is RECESSIVE
            and word.startswith("super")
            or g.inheritance is not RECESSIVE
            and "het" in word
        ):
            word = g.name
        if word:
            taken.add(g.locus)
            words.append(word)
    return read_label(", ".join(words) or "normal", own)


def closed_pedigree(n, seed, dams=6, sires=3):
    """Rows for books.book: founders, then clutches among the latest breeders; back-crosses and loops as they fall."""
    rng = Random(seed)
    animals, females, males = [], [], []
    for i in range(8):
        label = rng.choice(["Ash", "het Ash", "66% het Ash", "normal", None])
        animals.append((f"F{i}", "FM"[i % 2], label, None, None))
        (males if i % 2 else females).append(f"F{i}")
    while len(animals) < n:
        dam, sire = rng.choice(females[-dams:]), rng.choice(males[-sires:])
        for j in range(rng.randint(3, 10)):
            name, sex = f"C{len(animals)}", rng.choice("FM")
            animals.append((name, sex, rng.choice(["normal", "normal", "normal", "Ash", None]), sire, dam))
            if j == 0:
                (females if sex == "F" else males).append(name)
    return animals
