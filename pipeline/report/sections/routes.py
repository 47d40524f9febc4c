"""The way to the goals: each goal's routes as a chart and as steps, and what stands in the way of the others."""

from typing import Any

import pandas as pd

from pipeline.report.context import Context, Highlight, anchor
from pipeline.report.formats import odds_text, tenths
from pipeline.report.grid import Grid, columns_of, grid
from pipeline.report.sections.part import Part, counted, listed

_EMPTY = "No goal to reach yet: fill the sheet Goals with the labels you would like to breed, and Genes and Animals."
_OUT = "out of reach"
_SURE = 0.945
"""From here on the trade writes a thing as certain."""


def routes(context: Context) -> Part:
    """One block a goal with a way; goals without one in a list."""
    outlook, notes = context.table("goal_outlook"), context.table("goal_notes")
    goals = outlook.drop_duplicates(["book", "goal"])[["book", "goal"]].itertuples(index=False)
    values = {
        "summary": _summary(outlook, context),
        "ways": [_goal(book, goal, context) for book, goal in goals],
        "notes": notes[notes["kind"].isin(["owned", _OUT])]["note"].tolist(),
        "granted": list(dict.fromkeys(notes[notes["kind"] == "taken for granted"]["note"])),
    }
    return Part(values, tuple(_highlights(outlook, notes, context)))


def _summary(outlook: pd.DataFrame, context: Context) -> Grid:
    rows = outlook.assign(range=_ranges(outlook))
    columns = context.columns("goal_outlook", _OUTLOOK)
    return grid("goals", "How long to each goal", rows, columns, empty=_EMPTY)


def _ranges(outlook: pd.DataFrame) -> list[str]:
    """'3.8 to 5.8', of the courses that get there."""
    low, high = tenths(outlook["years_low"]), tenths(outlook["years_high"])
    return [f"{a} to {b}" for a, b in zip(low, high, strict=True)]


def _goal(book: str, goal: str, context: Context) -> dict[str, object]:
    """One goal: its heading, the chart and steps of each way, and its cautions."""
    outlook, steps = (_own(context.table(name), book, goal) for name in ("goal_outlook", "goal_routes"))
    notes = _own(context.table("goal_notes"), book, goal)
    ways = []
    for number, row in enumerate(outlook.itertuples(), start=1):
        own = steps[steps["route"] == row.route]
        figure = context.drawn.get(f"route/{context.way(book, goal, row.route)}")
        caption = f"{goal}, {row.way}: {counted(len(own), 'step')}"
        name = anchor("route", book, goal, number)
        columns = columns_of("goal_routes", _STEPS)
        sure = own["right_share"] > _SURE
        table = grid(name, caption, own.assign(right_share=own["right_share"].mask(sure)), columns, empty="")
        note = [row.note] if isinstance(row.note, str) and row.note else []
        ways.append({"figure": figure, "steps": table, "notes": [*note, *_step_notes(own)]})
    cautions = notes[notes["kind"] == "caution"]["note"].tolist()
    return {
        "goal": goal if not context.several_books else f"{goal} ({book})",
        "ways": ways,
        "cautions": cautions,
    }


def _own(frame: pd.DataFrame, book: str, goal: str) -> pd.DataFrame:
    return frame[(frame["book"] == book) & (frame["goal"] == goal)]


_OUTLOOK = """
    goal    | Goal | words |
    species | Species | brief |
    way     | Way | words |
    season  | Born in season | years |
    years   | Years from now | tenths |
    range   | 8 of 10 within | brief |
    p_ever  | Gets there at all | odds |
    wanted_by | Wanted by | years |
    p_by_wanted | Chance by then | odds |
    f_most  | Inbreeding at most | shares |
"""
_STEPS = """
    step    | Step | years | | goal goal
    season  | Season | years |
    dam     | Dam | brief |
    sire    | Sire | brief |
    keep_label | Keep | words |
    keep_sex | Sex | words |
    probability_one | In one young | percents |
    probability_by_litter | In a litter | odds |
    young_for_95 | Young for 95 % | counts |
    right_share | Of these, right | percents |
    born    | Born in | years |
    ready   | Grown by | years |
    f_young | Inbreeding | shares |
"""


def _step_notes(steps: pd.DataFrame) -> list[str]:
    """'Step 2: …' for each step that wants a word."""
    return [
        f"Step {row.step}: {row.note}" for row in steps.itertuples() if isinstance(row.note, str) and row.note
    ]


def _highlights(outlook: pd.DataFrame, notes: pd.DataFrame, context: Context) -> list[Highlight]:
    """When the goals may be reached, and which can't be."""
    first = outlook[outlook["route"] == 1]
    found = [
        f"{context.of_book(row.goal, row.book)} in {_about(row.years)} ({_likely(row)})"
        for row in first.itertuples()
        if pd.notna(row.years)
    ]
    texts = [f"Goals within reach: {listed(found)}."] if found else []
    lost = notes[(notes["kind"] == _OUT) & notes["goal"].notna()]
    out = list(dict.fromkeys(context.of_book(row.goal, row.book) for row in lost.itertuples()))
    texts += [f"No way to {counted(len(out), 'goal')}: {listed(out)}."] if out else []
    return [Highlight(text, "routes", urgent=False) for text in texts]


def _likely(row: Any) -> str:
    """'likely 4 to 6', eight courses in ten of those that get there; and how many do, where not almost all."""
    low, high = f"{row.years_low:.0f}", f"{row.years_high:.0f}"
    span = f"likely {low}" if low == high else f"likely {low} to {high}"
    return span if row.p_ever > _SURE else f"{span}, gets there at all: {odds_text(row.p_ever)}"


def _about(years: float) -> str:
    return "about a year" if years < 1.5 else f"about {years:.0f} years"
