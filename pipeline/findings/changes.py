"""What changed since the last run: the answers that a keeper acts on, before and now.

A run is compared with the earlier run whose answers lie in the same folder. Where nothing went into this run that did not
go into that one, the comparison of that one stands: a rerun says the same to the byte.
"""

from collections.abc import Callable, Iterator, Mapping
from datetime import date
from typing import Any

import pandas as pd

from pipeline.findings.frames import findings_frame
from pipeline.store.tables import CHANGES, RUNS

Findings = Mapping[str, pd.DataFrame]
OWN = ("runs", "changes")
"""The tables that speak of runs, not of the book."""
_LATER = ("books",)
"""Tables that are made when all books are answered."""
_READY = "nothing"
_SETTLED = ("proved", "ruled out")
_TOLD = ("rising", "falling", "flat")
_BACKWARDS = (
    "The earlier run speaks of {}, a later day than this one; if that is not meant, set this computer's clock right, or "
    "name the day with --as-of."
)


def change_findings(
    earlier: Findings | None, now: Findings, book: str, as_of: date, remark: str = ""
) -> dict[str, pd.DataFrame]:
    """The findings tables runs and changes of one book, without the column `book`.

    `earlier` and `now` are findings by table name, of any books; `earlier` None, or without this book: a first run.
    `remark` says why an earlier run that is there can't be compared with.
    """
    before = _of_book(earlier or {}, book)
    if before["runs"].empty:
        run = _run(as_of, None, remark)
        return {"runs": findings_frame(RUNS, [run]), "changes": findings_frame(CHANGES, [])}
    ran = pd.Timestamp(before["runs"]["as_of"].iloc[0]).date()
    after = _of_book(now, book)
    if ran == as_of and _alike(before, after):
        return {name: before[name].drop(columns="book") for name in OWN}
    rows = [row for told in _TELLERS for row in told(before, after)]
    run = _run(as_of, ran, _BACKWARDS.format(ran) if ran > as_of else "")
    return {"runs": findings_frame(RUNS, [run]), "changes": findings_frame(CHANGES, rows)}


def _run(as_of: date, since: date | None, remark: str) -> dict[str, Any]:
    compared = since.toordinal() if since else None
    return {"as_of": as_of.toordinal(), "compared_with": compared, "remark": remark or None}


def _of_book(findings: Findings, book: str) -> dict[str, pd.DataFrame]:
    """The rows of one book; a table that an earlier version did not make is empty."""
    own = {name: _rows(frame, book) for name, frame in findings.items()}
    empty = {table.name: findings_frame(table, []).assign(book=None) for table in (RUNS, CHANGES)}
    found = {**empty, **own}
    return {**found, "runs": found["runs"].dropna(subset="as_of")}


def _rows(frame: pd.DataFrame, book: str) -> pd.DataFrame:
    """The rows of one book; the frame itself where there are no others."""
    its = frame["book"] == book
    return frame if its.all() else frame[its].reset_index(drop=True)


def _alike(before: Findings, after: Findings) -> bool:
    """Whether all answers about the book are the same."""
    names = set(after) - {*OWN, *_LATER}
    return names <= set(before) and all(after[name].equals(before[name]) for name in names)


def _table(findings: Findings, name: str, keys: list[str], columns: list[str]) -> pd.DataFrame:
    """Some columns of a table by its keys, which are the columns too; empty where an earlier version lacks any."""
    frame = findings.get(name, pd.DataFrame())
    if not {*keys, *columns} <= set(frame.columns):
        return pd.DataFrame(columns=[*keys, *columns]).set_index(keys, drop=False)
    frame = frame[[*dict.fromkeys([*keys, *columns])]].drop_duplicates(keys)
    return frame.set_index([frame[key].astype(object).where(frame[key].notna(), "") for key in keys])


def _pairs(
    before: Findings, after: Findings, name: str, keys: list[str], columns: list[str]
) -> Iterator[tuple[Any, Any]]:
    """Rows with the same keys as (before, now), None where there is none; now's order first, then what is gone."""
    frames = (_table(one, name, keys, columns) for one in (before, after))
    old, new = (dict(zip(own.index, own.to_dict("records"), strict=True)) for own in frames)
    for key in [*new, *(key for key in old if key not in new)]:
        yield old.get(key), new.get(key)


def _row(
    kind: str, what: str, subject: object, before: object, now: object, species: object = None
) -> dict[str, Any]:
    return {"kind": kind, "what": what, "species": species, "subject": subject, "before": before, "now": now}


def _suspicions(before: Findings, after: Findings) -> Iterator[dict[str, Any]]:
    keys = ["species", "kind", "subject", "gene"]
    for old, new in _pairs(before, after, "suspicions", keys, ["likelier"]):
        if old is None:
            yield _row("suspicion", "new", _of(new), None, new["likelier"], new["species"])
        elif new is None:
            yield _row("suspicion", "gone", _of(old), old["likelier"], None, old["species"])
        elif old["likelier"] != new["likelier"]:
            yield _row("suspicion", "changed", _of(new), old["likelier"], new["likelier"], new["species"])


def _of(row: Any) -> str:
    return f"{str(row['kind']).capitalize()} of {row['subject']}"


def _verdicts(before: Findings, after: Findings) -> Iterator[dict[str, Any]]:
    """Of pairings and genes as a whole; single clutches follow from them."""
    keys, columns = ["species", "scope", "pairing", "gene"], ["verdict"]
    for old, new in _pairs(_whole(before), _whole(after), "ratio_tests", keys, columns):
        if old is not None and new is not None and old["verdict"] != new["verdict"]:
            named = [new["pairing"] if new["scope"] == "pairing" else "all crosses", new["gene"]]
            subject = ", ".join(str(part) for part in named if not pd.isna(part))
            yield _row("verdict", "changed", subject, old["verdict"], new["verdict"], new["species"])


def _whole(findings: Findings) -> Findings:
    """The findings without the tests of single clutches."""
    if "ratio_tests" not in findings:
        return findings
    tests = findings["ratio_tests"]
    return {**findings, "ratio_tests": tests[tests["scope"] != "clutch"]}


def _carriers(before: Findings, after: Findings) -> Iterator[dict[str, Any]]:
    for old, new in _pairs(before, after, "carrier_odds", ["species", "animal", "gene"], ["settled"]):
        if old is not None and new is not None and old["settled"] != new["settled"]:
            what = "settled" if new["settled"] in _SETTLED else "open again"
            subject = f"{new['animal']}, {new['gene']}"
            yield _row("carrier", what, subject, old["settled"], new["settled"], new["species"])


def _readiness(before: Findings, after: Findings) -> Iterator[dict[str, Any]]:
    for old, new in _pairs(before, after, "growth", ["species", "animal"], ["blocked_by"]):
        if old is None or new is None:
            continue
        was, here = (one["blocked_by"] == _READY for one in (old, new))
        if was != here:
            what = "ready" if here else "no longer ready"
            yield _row("growth", what, new["animal"], old["blocked_by"], new["blocked_by"], new["species"])


def _directions(before: Findings, after: Findings) -> Iterator[dict[str, Any]]:
    keys = ["species", "morph", "currency", "kind"]
    for old, new in _pairs(before, after, "price_trends", keys, ["direction"]):
        if (
            old is None
            or new is None
            or new["direction"] not in _TOLD
            or old["direction"] == new["direction"]
        ):
            continue
        what = "turned" if old["direction"] in _TOLD else "now told"
        yield _row(
            "price",
            what,
            f"{new['morph']} ({new['kind']})",
            old["direction"],
            new["direction"],
            new["species"],
        )


def _problems(before: Findings, after: Findings) -> Iterator[dict[str, Any]]:
    """By what they say, for rows move when others are put in; notes are left out."""
    keys = ["severity", "sheet", "value", "message"]
    for old, new in _pairs(before, after, "problems", keys, ["cell"]):
        told, what = (new, "new") if old is None else (old, "mended")
        if (old is None) == (new is None) or told["severity"] == "note":
            continue
        subject = ", ".join(str(part) for part in (told["sheet"], told["cell"]) if not pd.isna(part))
        said = [told["message"] if one is not None else None for one in (old, new)]
        yield _row("problem", what, subject, *said)


_TELLERS: tuple[Callable[[Findings, Findings], Iterator[dict[str, Any]]], ...] = (
    _suspicions,
    _verdicts,
    _carriers,
    _readiness,
    _directions,
    _problems,
)
