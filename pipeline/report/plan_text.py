"""Next season's pairs and the way to the goals, in words for the screen. Formats only; computes nothing."""

from collections.abc import Iterator, Mapping
from textwrap import wrap
from typing import Any

import pandas as pd

from pipeline.findings.shares import halved, percent
from pipeline.report.readable import PERCENT, shortened

WIDTH = 80
_CAUTION = (
    "Chance alone is reckoned here. Health, inbreeding and the law where you live come before any plan; a reptile vet "
    "decides whether an animal may breed."
)
_POINTS = (
    "Points stand in brackets: at most 60 for the goals, 25 for the value of the young, 15 for what they tell of hidden "
    "genes. A bit is what the answer to one even question tells, such as whether a 50% het is het."
)
_SEXES = {"F": "a daughter", "M": "a son"}


def plan_text(findings: Mapping[str, pd.DataFrame]) -> str:
    """The tables season_plan, season_plan_notes, goal_outlook, goal_routes and goal_notes as text of 80 columns."""
    points = [_wrapped(_POINTS)] if len(_table(findings, "season_plan")) else []
    blocks = [*_pairs(findings), *points, *_goals(findings), _wrapped(_CAUTION)]
    return "\n\n".join("\n".join(block) for block in blocks)


def _pairs(findings: Mapping[str, pd.DataFrame]) -> Iterator[list[str]]:
    """A block for the pairs of each species, best first."""
    plan = _table(findings, "season_plan")
    for (season, species), rows in plan.groupby(["season", "species"], sort=False) if len(plan) else ():
        lines = [f"{species}: pairs proposed for {season:.0f}"]
        for row in rows.sort_values("score", ascending=False, kind="stable").to_dict("records"):
            lines += _entry(f"{row['dam']} x {row['sire']}", _said(row["reason"]))
            lines += _entry("", f"Mind: {row['cautions']}") if _said(row["cautions"]) else []
        yield lines
    notes = [_said(note) for note in _table(findings, "season_plan_notes").get("note", ())]
    if len(plan) == 0 and not notes:
        yield ["No pair to propose for the coming season."]
    if notes:
        yield [line for note in dict.fromkeys(notes) for line in _wrapped(note)]


def _goals(findings: Mapping[str, pd.DataFrame]) -> Iterator[list[str]]:
    """A block for each way to each goal, then the notes."""
    outlook, steps = _table(findings, "goal_outlook"), _table(findings, "goal_routes")
    for way in outlook.to_dict("records"):
        own = steps[(steps["goal"] == way["goal"]) & (steps["route"] == way["route"])]
        yield [*_headline(way), *(line for row in own.to_dict("records") for line in _step(row))]
    notes = _table(findings, "goal_notes")
    for (goal,), rows in notes.groupby(["goal"], sort=False, dropna=False) if len(notes) else ():
        title = [goal] if isinstance(goal, str) else ["Taken for granted"]
        yield title + [line for note in dict.fromkeys(rows["note"]) for line in _indented(note)]
    if outlook.empty and notes.empty:
        yield _wrapped("No goal to reach: fill the sheet Goals with the labels you would like to breed.")


def _headline(way: Mapping[str, Any]) -> list[str]:
    """The goal, how long it takes, and how sure that is."""
    lines = _wrapped(f"{way['goal']}: {_kind(way['way'])}")
    words = f"Born in season {way['season']:.0f}, in {way['years']:.1f} years (8 of 10 within {way['years_low']:.1f} to {way['years_high']:.1f})."
    if not pd.isna(way["wanted_by"]):
        words += f" By {way['wanted_by']:.0f}, as wished: {percent(way['p_by_wanted'])}."
    words += f" Gets there at all: {percent(way['p_ever'])}. Inbreeding at most {halved(way['f_most'])}."
    return lines + _indented(" ".join(filter(None, [words, _said(way["note"])])))


def _kind(way: str) -> str:
    return "the quickest way" if way == "quickest" else "the best way found within the inbreeding limit"


def _step(row: Mapping[str, Any]) -> list[str]:
    """One step: when, whom, what to keep, the odds."""
    sex = _SEXES.get(row["keep_sex"], "either sex")
    young = "more than 2,000" if pd.isna(row["young_for_95"]) else f"{row['young_for_95']:.0f}"
    words = (
        f"{row['dam']} x {row['sire']}. Keep {row['keep_label']}, {sex}: {percent(row['probability_one'])} of the young, "
        f"{percent(row['probability_by_litter'])} in a litter, {young} young for 95 %."
    )
    if not pd.isna(row["ready"]):
        words += f" Likely there in {row['born']:.0f}, grown for {row['ready']:.0f}."
    return _entry(f"{row['step']}. {row['season']:.0f}", " ".join(filter(None, [words, _said(row["note"])])))


def _entry(head: str, words: str) -> list[str]:
    """A head and words that hang beside it."""
    hang = 12
    first = f"  {head}".ljust(hang)
    if len(first) > hang:
        return [first.rstrip(), *_wrapped(words, initial_indent=" " * hang, subsequent_indent=" " * hang)]
    return _wrapped(words, initial_indent=first, subsequent_indent=" " * hang) or [first.rstrip()]


def _indented(words: str) -> list[str]:
    return _wrapped(words, initial_indent="  ", subsequent_indent="  ")


def _wrapped(words: str, initial_indent: str = "", subsequent_indent: str = "") -> list[str]:
    whole = PERCENT.sub("\u00a0", shortened(words))
    lines = wrap(whole, WIDTH, initial_indent=initial_indent, subsequent_indent=subsequent_indent)
    return [line.replace("\u00a0%", " %") for line in lines]


def _said(value: object) -> str:
    return value if isinstance(value, str) else ""


def _table(findings: Mapping[str, pd.DataFrame], name: str) -> pd.DataFrame:
    return findings.get(name, pd.DataFrame())
