"""The first sheet of the blank book, 'Start here': what the book is for and how to fill it."""

from dataclasses import dataclass

from openpyxl import Workbook
from openpyxl.styles import PatternFill
from openpyxl.worksheet.hyperlink import Hyperlink
from openpyxl.worksheet.worksheet import Worksheet

from pipeline.workbook import styles
from pipeline.workbook.sheets import OWN_SHEETS, SHEETS, TOTALS

_TERM_WIDTH, _TEXT_WIDTH, _LINE_POINTS = 36, 112, 15.5

_PURPOSE = (
    "Records of one collection: its animals, its pairings and what hatched, weights, and prices. From them the season's "
    "analysis says whether what hatched fits the labels, who may carry what, who is growing toward breeding size, and "
    "what prices do. The analysis only reads this book; it never writes to it.",
)
_FIRST = (
    (
        "1  Species",
        "One row for each; its name will do to begin with. Breeding weights and ages serve the growth charts.",
    ),
    (
        "2  Genes",
        "The genes you work with, and how each is inherited. Drop-downs of other sheets draw on it.",
    ),
    (
        "3  Animals",
        "Every animal you keep or kept, with its label. Parents get rows of their own, also those sold or dead.",
    ),
    ("4  Pairings", "Who was put with whom, season by season. List every male she was with."),
    ("5  Hatch results", "What came of it. Count the normal young too: a ratio without them means nothing."),
    (
        "Then, as you like",
        "Weights for growth, Prices for markets, Goals for planning. A sheet you leave empty is left out.",
    ),
)
_CELLS = (
    ("Dark header", "Must be filled in every row. Rest the mouse on any header to read what belongs there."),
    (
        "Light header",
        "May stay blank. The header's note says what a blank means; where it says nothing, 'not known'.",
    ),
    ("Dates", "2024-05-31, or a bare year (2024) where that is all you know."),
    ("Weights, lengths", "Grams and centimetres; '1.2 kg' is understood as well."),
    ("Percentages", "Plain numbers: type 5 for 5 %, without the sign."),
    (
        "Your own columns",
        "Add columns and sheets as you like. They are kept and passed over. Leave the names of ours as they are.",
    ),
    (
        "Rates of exchange",
        "On Settings, a row 'Rate EUR' with the worth of one EUR in your own currency; one row a currency.",
    ),
    (
        "Pairs decided",
        "A pair entered on Pairings for the coming season is kept in the plan. Pairs you rule out stand on Settings beside 'Never pair': B1 x B2; B3 x B4.",
    ),
)
_COLOURS = (
    (
        "Orange, bold, underlined",
        "Can't be so: an ID or species that its sheet lacks, an ID that is there twice, a sire that is female, a dam that is male, a day to come.",
    ),
    ("Blue cell", "The row is begun, and this cell must be filled."),
)
_LABELS = (
    (
        "Motley",
        "Shows Motley: two copies of a recessive gene, one or more of a dominant one, one of an incomplete dominant one.",
    ),
    ("Super Motley", "Two copies. The gene's own name for two copies does as well."),
    (
        "het Albino",
        "One copy; of a recessive gene it does not show. 'double het Albino Anery' gives both genes, up to the next comma.",
    ),
    ("66% het Anery", "One copy with that probability. Any percentage."),
    ("possible het Anery", "Perhaps one copy, how likely is not said. 'ph Anery' is the same."),
    ("not Albino", "Known to carry none."),
    ("normal", "Was looked at and shows no gene of the list. A blank cell says that nobody looked."),
    ("Snow, het Hypo", "A name from Morph names stands for its genes."),
    ("Super Motley Hypo, het Albino, 66% het Anery", "All of it together, as you would write it on the tub."),
)
_COMMANDS = (
    (
        "proveout check BOOK.xlsx",
        "Lists what can't be read or can't be so, by sheet and cell. With --mark COPY.xlsx it writes a copy with those cells marked.",
    ),
    (
        "proveout season BOOK.xlsx",
        "The whole analysis, in a folder beside this book. Open report.html in it.",
    ),
)
_CAUTIONS = (
    ("Health", "An animal that is ill, or losing weight, needs a reptile vet, not a table. Reaching a weight by overfeeding shortens lives."),
    ("Genes that harm", "Some genes bring tumours, a failing sense of balance, or death before birth. Write what is known under Welfare note, and weigh whether to breed it at all."),
    ("Inbreeding", "Close kin can look well for a generation. The analysis states kinship; it can't see what a hidden gene will do."),
    ("Large constrictors", "Never handle one alone. Housing and handling follow your local code."),
    ("Law", "Keeping, selling and shipping are ruled by wildlife law, by permit lists, and by local codes, which change. They come first."),
    ("Probabilities", "A suspicion is a reason for a test cross, not a charge against a breeder."),
    ("Prices", "A past trend is no promise."),
)  # fmt: skip


@dataclass
class _Pen:
    """Writes down the page, row by row; `row` is the next one."""

    page: Worksheet
    row: int = 2

    def heading(self, text: str) -> None:
        """A heading, one row free above it."""
        self.row += 1
        cell = self.page.cell(self.row, 2, text)
        cell.font = styles.HEADING
        self.page.row_dimensions[self.row].height = 22
        self.row += 1

    def paragraph(self, text: str) -> None:
        """Text over both columns."""
        self.page.merge_cells(start_row=self.row, end_row=self.row, start_column=2, end_column=3)
        self.page.cell(self.row, 2, text).alignment = styles.WRAPPED
        self._fit(text, _TERM_WIDTH + _TEXT_WIDTH)

    def pairs(self, pairs: tuple[tuple[str, str], ...]) -> None:
        """Terms, each with its text, a row each."""
        for term, text in pairs:
            self.pair(term, text)

    def pair(self, term: str, text: str) -> None:
        """A term at the left, its text at the right."""
        left, right = self.page.cell(self.row, 2, term), self.page.cell(self.row, 3, text)
        left.font, left.alignment, right.alignment = styles.TERM, styles.WRAPPED, styles.INDENTED
        self._fit(text, _TEXT_WIDTH, -(-len(term) // (_TERM_WIDTH - 4)))

    def link(self, sheet: str, text: str) -> None:
        """A pair whose term is a sheet's name and leads there."""
        cell = self.page.cell(self.row, 2)
        self.pair(sheet, text)
        cell.hyperlink = Hyperlink(ref=cell.coordinate, location=f"'{sheet}'!A1")
        cell.font = styles.LINK

    def _fit(self, text: str, width: float, least: int = 1) -> None:
        """Set the row's height by hand: not every program grows a row to its wrapped text."""
        lines = max(least, -(-len(text) // int(width)))
        self.page.row_dimensions[self.row].height = lines * _LINE_POINTS + 3
        self.row += 1


def write_help(book: Workbook, title_note: str) -> None:
    """Add the sheet 'Start here' as the first one; `title_note` is a line below its title."""
    page = book.create_sheet(OWN_SHEETS[0], 0)
    page.sheet_view.showGridLines = False
    for column, width in (("A", 3), ("B", _TERM_WIDTH), ("C", _TEXT_WIDTH)):
        page.column_dimensions[column].width = width
    page["B1"], page["B1"].font = "Breeding records", styles.TITLE
    page.row_dimensions[1].height = 32
    pen = _Pen(page)
    if title_note:
        pen.paragraph(title_note)
        page["B2"].font = styles.QUIET
    _write_sections(pen)
    _show_headers(page)


def _write_sections(pen: _Pen) -> None:
    pen.heading("What this book is for")
    for text in _PURPOSE:
        pen.paragraph(text)
    pen.heading("What to fill first")
    pen.pairs(_FIRST)
    pen.heading("How cells are filled")
    pen.pairs(_CELLS)
    pen.heading("What colours say while you type")
    pen.pairs(_COLOURS)
    pen.heading("How to write a label (the Genes columns)")
    pen.pairs(_LABELS)
    pen.heading("What to run")
    pen.pairs(_COMMANDS)
    pen.heading("Before you act on it")
    pen.pairs(_CAUTIONS)
    pen.heading("The sheets")
    for sheet in SHEETS:
        pen.link(sheet.name, sheet.meaning)
    pen.link(TOTALS, "What the program counts for you: animals by species, pairings and young by season.")
    pen.paragraph(
        f"A hidden sheet, {OWN_SHEETS[1]}, feeds the drop-downs and fills itself from Genes and Morph names."
    )


def _show_headers(page: Worksheet) -> None:
    """Give the lines that speak of headers and colours the look they speak of."""
    looks = {
        "Dark header": (styles.REQUIRED_FONT, styles.REQUIRED_FILL),
        "Light header": (styles.OPTIONAL_FONT, styles.OPTIONAL_FILL),
        "Orange, bold, underlined": (styles.WRONG_FONT, styles.WRONG_FILL),
        "Blue cell": (styles.TERM, styles.WAITING_FILL),
    }
    for row in page.iter_rows(min_col=2, max_col=2):
        font, fill = looks.get(row[0].value, (None, PatternFill()))
        if font:
            row[0].font, row[0].fill = font, fill
