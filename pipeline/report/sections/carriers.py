"""Who carries what: the odds of each animal and gene, the label they bear out, and what would settle an open het."""

from typing import Any

import pandas as pd

from charts import carrier_curve
from pipeline.genetics.collection import GONE
from pipeline.report.context import Context, Highlight
from pipeline.report.figures import Picture
from pipeline.report.formats import odds, percents
from pipeline.report.grid import Grid, grid
from pipeline.report.sections.part import Part, counted, listed

_LEAST = 0.1
"""Odds below this are told in a line for each animal, unless the book's label claims something."""
_MOST_ROWS = 1_000
_EMPTY = "No odds to tell yet: fill the sheets Genes and Animals; Pairings and Hatch results tell the most."
_SHOWS_NOTHING = ("", "50% het", "66% het", "100% het")


def carriers(context: Context) -> Part:
    """What is open or odd in full, with a curve for each open het; what is settled in a line for each animal."""
    rows = context.table("carrier_odds")
    rows = rows[rows["p_none"].notna()].assign(carries=lambda frame: 1 - frame["p_none"])
    gone = rows["status"].isin(GONE)
    full = _in_full(rows)
    here, away = _ordered(rows[full & ~gone]), _ordered(rows[full & gone])
    values = {
        "open": _grid("carriers-open", "Open, or not as the book says", here.head(_MOST_ROWS), context),
        "gone": _grid("carriers-gone", "Sold and dead animals", away.head(_MOST_ROWS), context, drawn=False),
        "settled": _settled(rows[~full], context),
        "left_out": max(0, len(here) - _MOST_ROWS) + max(0, len(away) - _MOST_ROWS),
        "tangled": int(context.table("carrier_odds")["p_none"].isna().sum()),
        "not_exact": int((~rows["method"].isin(["exact"])).sum()),
    }
    return Part(values, tuple(_highlights(here, context)))


def _in_full(rows: pd.DataFrame) -> pd.Series:
    """Whether a row is worth a line of its own: an open het worth the name, or a label that is not fair."""
    shows = ~rows["label"].isin(_SHOWS_NOTHING)
    worth = (rows["carries"] >= _LEAST) | (rows["book_label"].fillna("") != "")
    return ((rows["settled"] == "open") & ~shows & worth) | rows["says"].isin(["too much", "too little"])


def _ordered(rows: pd.DataFrame) -> pd.DataFrame:
    """Labels that claim too much first, the least likely at the top; then the likeliest carriers."""
    fair, chance = rows["says"] != "too much", rows["carries"].round(2)
    order = rows.assign(_fair=fair, _odds=chance.where(~fair, -chance))
    order = order.sort_values(["_fair", "_odds", "species", "animal", "gene", "book"], kind="stable")
    return order.drop(columns=["_fair", "_odds"])


_COLUMNS = """
    animal     | Animal | words |
    gene       | Gene | words |
    carries    | Carries it | bars |
    copies     | 0 · 1 · 2 copies | brief | %
    from_ancestors | By ancestors | odds |
    label      | May be written | claims |
    book_label | In the book | claims |
    says       | Book says | brief |
    doubt      | In doubt | prose |
    settled    | Settled | brief |
    young_scored | Young that tell | counts |
    on_visual  | More, visual mate | brief | 95 / 99 %
    on_het     | More, het mate | brief | 95 / 99 %
    status     | Status | brief |
    species    | Species | brief |
"""


def _grid(name: str, caption: str, rows: pd.DataFrame, context: Context, *, drawn: bool = True) -> Grid:
    rows = rows.assign(
        copies=_copies(rows), **{f"on_{partner}": _both(rows, partner) for partner in ("visual", "het")}
    )
    columns = context.columns("carrier_odds", _COLUMNS)
    figures = []
    if drawn:
        open_het = rows["on_visual_95"].notna().tolist()
        figures = [
            context.figures.add(Picture(carrier_curve, (rows.iloc[[at]],))) if drawable else None
            for at, drawable in enumerate(open_het)
        ]
    return grid(name, caption, rows, columns, empty=_EMPTY if drawn else "", figures=figures)


def _copies(rows: pd.DataFrame) -> list[str]:
    """'2 · 98 · <1', the odds of each number of copies in whole percent."""
    told = (percents(rows[name]) for name in ("p_none", "p_one", "p_two"))
    return [
        "\u00a0·\u00a0".join(three).replace("\u202f%", "").replace("\u202f", "")
        for three in zip(*told, strict=True)
    ]


def _both(rows: pd.DataFrame, partner: str) -> list[str]:
    """'6 / 8', the young for 95 % and for 99 %."""
    pairs = zip(rows[f"on_{partner}_95"], rows[f"on_{partner}_99"], strict=True)
    return ["" if pd.isna(some) else f"{some:.0f}\u00a0/\u00a0{more:.0f}" for some, more in pairs]


def _settled(rows: pd.DataFrame, context: Context) -> Grid:
    """A line for each animal: what is proved, what its label shows, what is unlikely, what was ruled out."""
    lines: dict[tuple[str, ...], dict[str, list[str]]] = {}
    rows = rows[(rows["settled"] != "ruled out") | (rows["from_ancestors"] >= _LEAST)]
    for row, chance in zip(rows.itertuples(index=False), odds(rows["carries"]), strict=True):
        kind, words = _told(row, chance)
        own = lines.setdefault((row.book, row.species, row.animal, row.status), {kind: [] for kind in _KINDS})
        own[kind].append(words)
    told = [(*key, *(", ".join(own[kind]) for kind in _KINDS)) for key, own in sorted(lines.items())]
    table = pd.DataFrame(told, columns=["book", "species", "animal", "status", *_KINDS])
    columns = context.columns("carrier_odds", _SETTLED)
    return grid("carriers-settled", "Settled, shown or unlikely, animal by animal", table, columns, empty="")


_KINDS = ("proved", "shown", "unlikely", "ruled_out")
_SETTLED = """
    animal    | Animal | words |
    species   | Species | brief |
    proved    | Proved (99 %) | words |
    shown     | Shows, by its label | words |
    unlikely  | Unlikely, not ruled out | words |
    ruled_out | Ruled out, though likely once | words |
    status    | Status | words |
"""


def _told(row: Any, chance: str) -> tuple[str, str]:
    """The column of the short table in which a row is told, and its words there."""
    shows = row.label not in _SHOWS_NOTHING
    if row.settled == "proved":
        return "proved", str(row.label) if shows else f"{row.label} {row.gene}"
    if row.settled == "ruled out":
        return "ruled_out", str(row.gene)
    return ("shown", str(row.label)) if shows else ("unlikely", f"{row.gene} {chance}")


def _highlights(here: pd.DataFrame, context: Context) -> list[Highlight]:
    """Labels that say more than the records bear out, and hets still open."""
    too_much = here[here["says"] == "too much"]
    found = []
    if len(too_much):
        names = listed(
            [f"{context.of_book(row.animal, row.book)} ({row.gene})" for row in too_much.itertuples()]
        )
        say = "says" if len(too_much) == 1 else "say"
        labels = counted(len(too_much), "label")
        words = f"{labels} of animals here {say} more than the records bear out: {names}."
        found.append(Highlight(words, "carriers", urgent=False))
    waiting = here[here["on_visual_95"].notna()]
    if len(waiting):
        animals = waiting.drop_duplicates(["book", "animal"])
        words = f"{counted(len(waiting), 'het')} still open, in {counted(len(animals), 'animal')} here."
        found.append(Highlight(words, "carriers", urgent=False))
    return found
