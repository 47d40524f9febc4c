"""The registry of every sheet, column and setting: the one place where the workbook is declared.

The blank book, the reading, the checks, the DuckDB tables of schema `records` and the reference in DEVELOPERS.md
all derive from it. Names of sheets, columns and settings are fixed (workbooks in use depend on them).
"""

import re
from dataclasses import dataclass
from enum import StrEnum


class Kind(StrEnum):
    """What a cell holds, and so how it is read, stored and validated."""

    TEXT = "text"
    ID = "ID"
    IDS = "IDs, separated by ;"
    NAMES = "names, separated by ;"
    GENES = "a label, as the trade writes it"
    CHOICE = "one of a list"
    INTEGER = "whole number"
    NUMBER = "number"
    PERCENT = "percentage, as a plain number"
    DATE = "date or bare year"
    YEAR = "year"


@dataclass(frozen=True)
class Column:
    """One column of a sheet.

    `unit` trails the header in brackets. `choices` are the allowed words as they are stored; what a keeper types is matched without regard to case. `refers_to` names the sheet and
    column whose values this one repeats ('Animals.ID'). `minimum` and `maximum` bound numbers, inclusive.
    `default` is what a blank cell means, where the contract gives a blank a meaning.
    """

    name: str
    kind: Kind
    meaning: str
    unit: str = ""
    required: bool = False
    choices: tuple[str, ...] = ()
    refers_to: str = ""
    minimum: float | None = None
    maximum: float | None = None
    default: str | int | None = None
    example: str = ""
    width: int = 14

    @property
    def field(self) -> str:
        """The column's name in tables: 'Female breeding weight' becomes 'female_breeding_weight'."""
        return snake(self.name)

    @property
    def header(self) -> str:
        """The header as the blank book prints it, unit included."""
        return f"{self.name} ({self.unit})" if self.unit else self.name


@dataclass(frozen=True)
class Sheet:
    """One sheet: a topic, one record a row. `key` names the fields that identify a row ('' for none)."""

    name: str
    meaning: str
    columns: tuple[Column, ...]
    key: tuple[str, ...] = ()

    @property
    def table(self) -> str:
        """The sheet's name as a table of schema `records`."""
        return snake(self.name)

    def column(self, field: str) -> Column:
        """The column of that field name; KeyError where there is none."""
        for column in self.columns:
            if column.field == field:
                return column
        raise KeyError(f"{self.name} has no column {field}")


@dataclass(frozen=True)
class Setting:
    """One line of the Settings sheet. Percentages are written as plain numbers: 5 means 5 %."""

    name: str
    kind: Kind
    default: str | float | int | None
    meaning: str
    minimum: float | None = None
    maximum: float | None = None

    @property
    def field(self) -> str:
        """'Wrong label, proved (%)' becomes 'wrong_label_proved'."""
        return snake(re.sub(r"\((%|month)\)", "", self.name))


def snake(name: str) -> str:
    """'Hatch results' becomes 'hatch_results'."""
    return re.sub(r"[^a-z0-9]+", "_", name.lower()).strip("_")


_SPECIES = Column(
    "Species", Kind.TEXT, "The species, by the name the Species sheet gives it.", required=True,
    refers_to="Species.Species", example="Common boa", width=18,
)
_NOTES = Column("Notes", Kind.TEXT, "Anything else worth keeping; never analysed.", width=40)

SPECIES = Sheet(
    "Species",
    "The species you keep, and the size and age at which you breed them.",
    (
        Column("Species", Kind.TEXT, "Your name for the species.", required=True, example="Common boa", width=18),
        Column("Scientific name", Kind.TEXT, "For permits and for whoever reads your records.", example="Boa imperator", width=24),
        Column("Young", Kind.CHOICE, "How young come: from eggs, or live-born.", choices=("eggs", "live"), example="live"),
        Column(
            "Sex chromosomes", Kind.CHOICE, "Which sex has two unlike sex chromosomes: XY the male, ZW the female.",
            choices=("XY", "ZW", "unknown"), default="unknown", example="XY", width=18,
        ),
        Column("Female breeding weight", Kind.NUMBER, "The weight from which you breed a female.", unit="g", minimum=0, example="1800", width=26),
        Column("Male breeding weight", Kind.NUMBER, "The weight from which you breed a male.", unit="g", minimum=0, example="700", width=24),
        Column("Female breeding age", Kind.NUMBER, "The age from which you breed a female.", unit="months", minimum=0, maximum=600, example="42", width=26),
        Column("Male breeding age", Kind.NUMBER, "The age from which you breed a male.", unit="months", minimum=0, maximum=600, example="24", width=24),
        Column("Rest between litters", Kind.NUMBER, "How long a female rests after a litter or clutch.", unit="months", minimum=0, maximum=600, example="18", width=24),
        Column("Days to young", Kind.NUMBER, "Days from ovulation or laying to the young.", minimum=0, maximum=1000, example="110"),
        Column("Typical litter", Kind.NUMBER, "Young in a usual litter or clutch.", minimum=0, example="20"),
        _NOTES,
    ),
    key=("species",),
)
GENES = Sheet(
    "Genes",
    "Every gene you work with, and how it is inherited.",
    (
        _SPECIES,
        Column("Gene", Kind.TEXT, "The name of the gene.", required=True, example="Motley", width=20),
        Column("Also written", Kind.NAMES, "Other spellings, separated by semicolons.", example="Mot", width=22),
        Column(
            "Inheritance", Kind.CHOICE, "How one and two copies look; line-bred looks take no part in ratios.", required=True,
            choices=("recessive", "incomplete dominant", "dominant", "line-bred"), example="incomplete dominant", width=22,
        ),
        Column("Locus", Kind.TEXT, "Genes of one species with the same locus are alleles of it. Blank: a locus of its own."),
        Column("Dominance rank", Kind.NUMBER, "Among alleles, 1 shows over 2; equal or blank ranks both show.", minimum=1, width=16),
        Column("Two copies name", Kind.TEXT, "What two copies are called, where not 'super' and the name.", example="Super Motley", width=20),
        Column("Two copies", Kind.CHOICE, "Whether young with two copies live.", choices=("viable", "lethal"), default="viable"),
        Column("Sex-linked", Kind.CHOICE, "Whether the gene lies on a sex chromosome.", choices=("no", "yes"), default="no"),
        Column("Linked locus", Kind.TEXT, "A gene or locus on the same chromosome, close enough to travel with this one.", width=16),
        Column("Recombination", Kind.PERCENT, "How often this gene and its linked locus part, 0 to 50.", unit="%", minimum=0, maximum=50, width=20),
        Column("Readable", Kind.CHOICE, "When the gene can be seen: at birth, or later as the animal grows.", choices=("birth", "later"), default="birth"),
        Column("Misread", Kind.PERCENT, "How often this gene is misread on a young animal; blank takes the setting.", unit="%", minimum=0, maximum=50),
        Column("Welfare note", Kind.TEXT, "What a buyer or breeder must know of its effects on health.", width=40),
        _NOTES,
    ),
    key=("species", "gene"),
)
MORPH_NAMES = Sheet(
    "Morph names",
    "Names for combinations of genes.",
    (
        _SPECIES,
        Column("Name", Kind.TEXT, "The name of the combination.", required=True, example="Snow", width=20),
        Column("Genes", Kind.GENES, "The genes it stands for.", required=True, example="Albino Anery", width=30),
    ),
    key=("species", "name"),
)
ANIMALS = Sheet(
    "Animals",
    "One row for every animal with a record of its own, past and present.",
    (
        Column("ID", Kind.ID, "Your own number or code for the animal; never used twice.", required=True, example="B12"),
        Column("Name", Kind.TEXT, "A name, if it has one."),
        _SPECIES,
        Column("Sex", Kind.CHOICE, "M, F, or blank where nobody knows.", choices=("M", "F"), example="F", width=8),
        Column("Born", Kind.DATE, "Date of birth or hatching; a bare year will do.", example="2021-06-14"),
        Column("Genes", Kind.GENES, "The label you would write on the tub. 'normal' says wild type, blank says nobody looked.", example="Motley Hypo, 66% het Albino", width=36),
        Column("Label basis", Kind.CHOICE, "What the label rests on. Blank: bred here where both parents are recorded, else seller.", choices=("proved", "bred here", "seller")),
        Column("Sire", Kind.ID, "ID of the father.", refers_to="Animals.ID"),
        Column("Dam", Kind.ID, "ID of the mother.", refers_to="Animals.ID"),
        Column("Status", Kind.CHOICE, "Where the animal is now.", choices=("keeping", "for sale", "sold", "on loan", "died"), default="keeping"),
        Column("Paid", Kind.NUMBER, "What you paid for it, in your currency.", minimum=0),
        Column("Notes", Kind.TEXT, "Anything else worth keeping. Only the word Shared at the start is heeded: another book of the run that has the ID and says so too means the same animal.", width=40),
    ),
    key=("id",),
)
PAIRINGS = Sheet(
    "Pairings",
    "One row for every pairing of a season.",
    (
        Column("Pairing", Kind.ID, "Your own name for the pairing.", required=True, example="24-03"),
        Column("Season", Kind.YEAR, "The breeding season, as a year.", required=True, minimum=1900, maximum=2200, example="2024", width=10),
        Column("Dam", Kind.ID, "ID of the mother.", required=True, refers_to="Animals.ID", example="B12"),
        Column("Sire", Kind.ID, "ID of the father.", required=True, refers_to="Animals.ID", example="B07"),
        Column("Other sires", Kind.IDS, "IDs of other males she was with that could be the father.", refers_to="Animals.ID"),
        Column("First paired", Kind.DATE, "First day together."),
        Column("Last paired", Kind.DATE, "Last day together."),
        Column("Ovulated or laid", Kind.DATE, "Day of ovulation (live-bearers) or laying (egg-layers).", width=18),
        _NOTES,
    ),
    key=("pairing",),
)
HATCH_RESULTS = Sheet(
    "Hatch results",
    "What came: a row for each kind of young with its count, or a row for each young animal.",
    (
        Column("Pairing", Kind.ID, "The pairing these young are from.", required=True, refers_to="Pairings.Pairing", example="24-03"),
        Column("Clutch", Kind.INTEGER, "1 for the first litter or clutch of the pairing, 2 for the next.", minimum=1, default=1, width=10),
        Column("Date", Kind.DATE, "Day of birth or hatching.", example="2024-08-01"),
        Column("Genes", Kind.GENES, "What the young show. 'normal' says wild type, blank says nobody looked.", example="Motley", width=36),
        Column("Sex", Kind.CHOICE, "M, F, or blank where not sexed.", choices=("M", "F"), width=8),
        Column("Count", Kind.INTEGER, "How many such young.", minimum=0, default=1, example="6", width=10),
        Column("Outcome", Kind.CHOICE, "What became of the egg or young.", choices=("live", "stillborn", "died in egg", "slug"), default="live"),
        Column("Animal", Kind.ID, "ID of the young, where it has a row on the Animals sheet.", refers_to="Animals.ID"),
        Column("Unreadable", Kind.NAMES, "Genes that could not be told on these young, separated by semicolons.", width=20),
        _NOTES,
    ),
)
WEIGHTS = Sheet(
    "Weights",
    "Weighings and measurements.",
    (
        Column("Animal", Kind.ID, "ID of the animal.", required=True, refers_to="Animals.ID", example="B12"),
        Column("Date", Kind.DATE, "Day of weighing.", required=True, example="2024-05-31"),
        Column("Weight", Kind.NUMBER, "Weight; '1.2 kg' is understood.", unit="g", minimum=0, example="850", width=12),
        Column("Length", Kind.NUMBER, "Length from snout to tail tip.", unit="cm", minimum=0, width=12),
        Column("State", Kind.CHOICE, "Blank for a plain weighing; other states are drawn but not fitted.", choices=("gravid", "spent", "ill")),
        _NOTES,
    ),
)
PRICES = Sheet(
    "Prices",
    "What such animals were offered or sold for.",
    (
        Column("Date", Kind.DATE, "Day of the advert or the sale.", required=True, example="2024-09-14"),
        _SPECIES,
        Column("Genes", Kind.GENES, "The label of the animal offered.", required=True, example="Motley het Albino", width=36),
        Column("Sex", Kind.CHOICE, "M, F, or blank.", choices=("M", "F"), width=8),
        Column("Age class", Kind.CHOICE, "How grown the animal was.", choices=("hatchling", "juvenile", "subadult", "adult")),
        Column("Price", Kind.NUMBER, "The price, above zero.", required=True, minimum=0, example="250"),
        Column("Currency", Kind.TEXT, "Three letters; blank takes the setting.", example="USD", width=10),
        Column("Kind", Kind.CHOICE, "Whether it was the price asked or the price paid.", choices=("asked", "sold"), default="asked", width=10),
        Column("Where", Kind.TEXT, "Where you saw it."),
        _NOTES,
    ),
)
GOALS = Sheet(
    "Goals",
    "The animals you are working toward.",
    (
        Column("Goal", Kind.TEXT, "Your name for the goal.", required=True, example="Two looks in one", width=20),
        _SPECIES,
        Column("Genes", Kind.GENES, "The label it would carry.", required=True, example="Super Motley Albino", width=36),
        Column("Wanted by", Kind.DATE, "When, if it matters; a bare year will do."),
        Column("Priority", Kind.NUMBER, "1 for the dearest wish."),
    ),
    key=("goal",),
)
SHARED_ANIMALS = Sheet(
    "Shared animals",
    "Only where several books are analysed together: animals that two of them record under different IDs.",
    (
        Column("In book", Kind.TEXT, "File name of the book that has the animal; blank is this book.", example="north.xlsx", width=22),
        Column("ID", Kind.ID, "The animal's ID in that book.", required=True, example="B12"),
        Column("Same as book", Kind.TEXT, "File name of the other book that has it.", required=True, example="south.xlsx", width=22),
        Column("Same as ID", Kind.ID, "Its ID there; blank where it is the same.", example="S3"),
    ),
)
SETTINGS_SHEET = Sheet(
    "Settings",
    "How the analysis is to be run; every setting may be left out.",
    (
        Column("Setting", Kind.TEXT, "The setting's name.", required=True, width=32),
        Column("Value", Kind.TEXT, "Its value; percentages as plain numbers.", width=20),
    ),
    key=("setting",),
)

TOTALS, BROUGHT_IN, LEFT_OVER = "Totals", "Brought in", "Left over"
OWN_SHEETS = ("Start here", "Lists", TOTALS, BROUGHT_IN, LEFT_OVER)
"""Sheets of ours that hold no records: the help page, what feeds the drop-downs, what Excel counts, and, in a book made
from an old list, what came from where and what found no place. Reading passes over them."""

OWN_COLUMNS = {SETTINGS_SHEET.name: ("Meaning",)}
"""Columns of the blank book, by sheet, that only explain. Reading passes over them."""

SHEETS = (SPECIES, GENES, MORPH_NAMES, ANIMALS, PAIRINGS, HATCH_RESULTS, WEIGHTS, PRICES, GOALS, SHARED_ANIMALS, SETTINGS_SHEET)

SETTINGS = (
    Setting("Keeper", Kind.TEXT, "", "Your name or the collection's, for the page's head."),
    Setting("Currency", Kind.TEXT, "USD", "Three letters; the currency of prices that name none."),
    Setting("Background carrier (%)", Kind.PERCENT, 1.0, "How many animals of unknown origin carry a given gene unseen.", 0, 50),
    Setting("Level (%)", Kind.PERCENT, 5.0, "The level of significance of the ratio tests.", 0.001, 50),
    Setting("Misread (%)", Kind.PERCENT, 1.0, "How often a gene is misread on a young animal.", 0, 50),
    Setting("Wrong sire (%)", Kind.PERCENT, 2.0, "How often another male than the recorded ones is the father.", 0, 50),
    Setting("Wrong label, proved (%)", Kind.PERCENT, 0.1, "How often a label proved by breeding is wrong.", 0, 50),
    Setting("Wrong label, bred here (%)", Kind.PERCENT, 1.0, "How often a label of an animal bred here is wrong.", 0, 50),
    Setting("Wrong label, seller (%)", Kind.PERCENT, 5.0, "How often a label that rests on a seller's word is wrong.", 0, 50),
    Setting("Wrong gene record (%)", Kind.PERCENT, 1.0, "How often a row of the Genes sheet is wrong.", 0, 50),
    Setting("Report suspicion from (%)", Kind.PERCENT, 50.0, "Records at least this likely to be wrong are reported.", 0, 100),
    Setting("Seed", Kind.INTEGER, 1, "Start of the random numbers; the same seed gives the same report.", 0),
    Setting("Pairs per male", Kind.INTEGER, 3, "Females a male is paired with in one season, at most.", 0),
    Setting("Hatchling places", Kind.INTEGER, None, "Young you can house in one season; blank for no limit.", 0),
    Setting("Inbreeding at most (%)", Kind.PERCENT, 12.5, "Inbreeding of planned young, at most.", 0, 100),
    Setting("Season starts (month)", Kind.INTEGER, 1, "The month in which a breeding season begins.", 1, 12),
    Setting("Never pair", Kind.TEXT, "", "Pairs you rule out, by their IDs: B1 x B2; B3 x B4."),
)
"""Besides these, `Rate CUR` (one CUR in the keeper's currency) may stand once for each currency."""


def sheet(name: str) -> Sheet:
    """The sheet of that name or table name; KeyError where there is none."""
    for candidate in SHEETS:
        if snake(name) == candidate.table:
            return candidate
    raise KeyError(f"no sheet named {name}")
