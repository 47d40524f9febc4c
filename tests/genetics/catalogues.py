"""Invented genes for the checks of this folder: a fixed catalogue, and random ones for hypothesis."""

from fractions import Fraction

from hypothesis import strategies as st

from pipeline.genetics.genes import Appearance, Catalogue, Gene, Genotype, Inheritance, Locus, SexChromosomes
from pipeline.genetics.labels import canonical
from pipeline.genetics.looks import look_statement
from pipeline.genetics.statements import Statement

NAMES = (
    "Red", "Red Stripe", "Stripe", "T+ Albino", "T- Albino", "Albino", "Motley", "Blood Red", "IMG", "Jungle", "Key West",
    "Anery",
)  # fmt: skip
ALIASES = (
    "Mot",
    "Amel",
    "Redstripe",
    "Jung",
    "KW",
    "Axanthic",
    "B.R.",
    "Str/pe",
    "T plus",
    "Xan",
    "Normal Stripe",
    "And",
)
TWO_COPIES = ("Leopard", "Super Dream", "Ivory", "Full Stripe", "Full Jungle", "Blackout")
MORPHS = ("Snow", "Red Snow", "Ghost", "Stripe Ghost", "Moonglow")
ODDS = (
    Fraction(1),
    Fraction(2, 3),
    Fraction(1, 2),
    Fraction(1, 3),
    Fraction(1, 4),
    Fraction(3, 5),
    Fraction(1, 100),
    None,
)


def gene(name: str, inheritance: str = "recessive", **columns: object) -> Gene:
    """A gene of a locus of its own, unless `locus` says otherwise."""
    return Gene(name, Inheritance(inheritance), str(columns.pop("locus", name)), **columns)


def catalogue(*genes: Gene, chromosomes: str = "unknown", **morphs: str) -> Catalogue:
    """A catalogue of an invented species."""
    return Catalogue("Meadow boa", genes, SexChromosomes(chromosomes), morphs)


BOAS = Catalogue(
    "Meadow boa",
    (
        gene("Motley", "incomplete dominant", aliases=("Mot",)),
        gene("Hypo", "dominant"),
        gene("Albino", aliases=("Amel",)),
        gene("Anery"),
        gene("Jungle", "incomplete dominant", two_copies_name="Full Jungle"),
        gene("T+ Caramel", locus="Caramel"),
        gene("T- Caramel", locus="Caramel"),
        gene("Redline", "line-bred"),
    ),
    SexChromosomes.XY,
    {
        "Snow": "Albino Anery",
        "Sunglow": "Hypo Albino",
        "Moonglow": "Hypo Snow",
        "Two-faced": "Albino het Albino",
    },
)


@st.composite
def catalogues(draw: st.DrawFn, *, loci: int = 4, linked: bool = True, lethal: bool = True) -> Catalogue:
    """Up to `loci` loci of one to three genes of every inheritance, with aliases, ranks, links, sex linkage and morphs."""
    names = list(draw(st.permutations(NAMES)))
    aliases, doubles = list(draw(st.permutations(ALIASES))), list(draw(st.permutations(TWO_COPIES)))
    genes: list[Gene] = []
    for number in range(draw(st.integers(1, loci))):
        sex_linked, link = (
            draw(st.booleans()),
            genes[-1].locus if genes and linked and draw(st.booleans()) else None,
        )
        if link:
            sex_linked = genes[-1].sex_linked
        rate = draw(st.sampled_from([0.0, 0.1, 0.25, 0.5])) if link else None
        for _ in range(draw(st.integers(1, min(3, len(names) - 2)))):
            genes.append(
                Gene(
                    names.pop(),
                    draw(
                        st.sampled_from([Inheritance.RECESSIVE, Inheritance.INCOMPLETE, Inheritance.DOMINANT])
                    ),
                    f"locus {number}",
                    (aliases.pop(),) if aliases and draw(st.booleans()) else (),
                    draw(st.sampled_from([None, 1, 2, 3])),
                    doubles.pop() if doubles and draw(st.booleans()) else "",
                    lethal and draw(st.booleans()),
                    sex_linked,
                    link,
                    rate,
                )
            )
            if len(names) <= 2:
                break
        if len(names) <= 2:
            break
    genes.append(Gene(names.pop(), Inheritance.LINE_BRED, "line"))
    chromosomes = draw(st.sampled_from(list(SexChromosomes)))
    return Catalogue("Meadow boa", tuple(genes), chromosomes, draw(_morphs([g.name for g in genes[:-1]])))


@st.composite
def _morphs(draw: st.DrawFn, names: list[str]) -> dict[str, str]:
    pool = draw(st.lists(st.sampled_from(MORPHS), max_size=3, unique=True))
    label = st.lists(st.sampled_from(names), min_size=1, max_size=3, unique=True).map(", ".join)
    return {morph: draw(label) for morph in pool}


@st.composite
def statements(draw: st.DrawFn, known: Catalogue) -> Statement:
    """What may be true of one animal: at each locus a look that some genotype has, with at most two genes hidden in it."""
    shows, carries = [], []
    for locus in known.loci:
        at_locus = look_statement(locus, draw(_mixture(locus)))
        shows += at_locus[0]
        carries += at_locus[1]
    spoken = {part.gene for part in shows + carries}
    free = [
        g.name for g in known.genes if g.name not in spoken and g.inheritance is not Inheritance.LINE_BRED
    ]
    lacks = draw(st.lists(st.sampled_from(free), max_size=2, unique=True)) if free else []
    lines = [known.genes[-1].name] if draw(st.booleans()) else []
    return canonical(Statement(tuple(shows), tuple(carries), tuple(lacks), tuple(lines)), known)


@st.composite
def _mixture(draw: st.DrawFn, locus: Locus) -> dict[Genotype, Fraction]:
    alike: dict[Appearance, list[Genotype]] = {}
    for genotype in locus.genotypes():
        alike.setdefault(locus.appearance(genotype), []).append(genotype)
    one, *others = draw(st.permutations(draw(st.sampled_from(list(alike.values())))))
    odds = draw(st.sampled_from([chance for chance in ODDS if chance]))
    if not others or odds == 1:
        return {one: Fraction(1)}
    return {one: 1 - odds, others[0]: odds}


def looks_of(appearances: dict[str, Appearance]) -> tuple[str, ...]:
    """All names that show, over the loci, for short assertions."""
    return tuple(name for look in appearances.values() for name in look)
