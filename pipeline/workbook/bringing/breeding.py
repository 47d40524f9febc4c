"""Rows of a breeding list: pairings, and what came of them."""

from collections.abc import Iterable
from datetime import date

from pipeline.workbook.bringing.animals import Identities
from pipeline.workbook.bringing.records import Gathered, OldRow, Values
from pipeline.workbook.bringing.tallies import kinds_of
from pipeline.workbook.bringing.wording import words_of

_TELLING = frozenset({"Genes", "Sex", "Count", "Outcome", "Animal", "Unreadable"})
"""What makes a row of young: a day or a number of the clutch alone says nothing of them."""
_PARENTS = ("Dam", "Sire")


class Pairs:
    """The pairings put down so far, by name and by season and parents, so that several rows can speak of one."""

    def __init__(self, identities: Identities, gathered: Gathered) -> None:
        self.identities, self.gathered = identities, gathered
        self._by_name: dict[str, Values] = {}
        self._by_parents: dict[tuple, Values] = {}

    def take(self, part: Values, hatched: object) -> tuple[Values | None, list[tuple[str, object]]]:
        """The pairing that a row speaks of, put down if it is new, and what of the row contradicts the earlier ones."""
        if not {*_PARENTS} & part.keys():
            known = self._by_name.get(words_of(part.get("Pairing", "")))
            own = {column: value for column, value in part.items() if column != "Pairing"}
            return known, list(own.items()) if known is None else _merged(known, own)
        self._name_parents(part)
        self._settle_season(part, hatched)
        key = tuple(words_of(part.get(name, "")) for name in ("Season", *_PARENTS))
        known = (
            self._by_name.get(words_of(part["Pairing"])) if "Pairing" in part else self._by_parents.get(key)
        )
        if known is None:
            return self._put_down(part, key), []
        return known, _merged(known, part)

    def _name_parents(self, part: Values) -> None:
        for name in (*_PARENTS, "Other sires"):
            if name in part:
                part[name] = self.identities.meant(part[name], self.gathered)

    def _settle_season(self, part: Values, hatched: object) -> None:
        """A pairing without a season takes the year in which it was laid, hatched or paired."""
        if "Season" in part:
            return
        days = (part.get("Ovulated or laid"), hatched, part.get("Last paired"), part.get("First paired"))
        years = [day.year if isinstance(day, date) else day for day in days if isinstance(day, (date, int))]
        if years:
            part["Season"] = years[0]
            self.gathered.say(
                "seasons taken from the year of laying, hatching or pairing, since the list gave none"
            )

    def _put_down(self, part: Values, key: tuple) -> Values:
        if "Pairing" not in part:
            part["Pairing"] = self._name(part)
            self.gathered.say("names of pairings made up of season and number, since the list gave none")
        self._by_name[words_of(part["Pairing"])] = self._by_parents[key] = part
        return self.gathered.add("Pairings", part)

    def _name(self, part: Values) -> str:
        season, number = words_of(part.get("Season", "P")), 1
        while (name := f"{season}-{number:02}") in self._by_name:
            number += 1
        return name


def _merged(known: Values, part: Values) -> list[tuple[str, object]]:
    """Fill what the pairing lacks; what differs comes back."""
    differing = []
    for column, value in part.items():
        if words_of(known.setdefault(column, value)) != words_of(value):
            differing.append((column, value))
    return differing


def add_breeding(rows: Iterable[OldRow], pairs: Pairs, gathered: Gathered) -> None:
    """Put down pairings and young. A row that speaks of neither is left over."""
    for row in rows:
        part, base = row.part("Pairings"), row.part("Hatch results")
        pairing, differing = pairs.take(part, base.get("Date"))
        told = _young(row, base)
        young = [kind for record in told for kind in _kinds(record)]
        name = pairing["Pairing"] if pairing else base.get("Pairing", part.get("Pairing"))
        for record in young:
            gathered.add("Hatch results", ({} if name is None else {"Pairing": name}) | record)
        extra = (
            differing
            if young
            else [*differing, *((f"Young: {c}", v) for c, v in base.items() if c != "Pairing")]
        )
        home = (
            (pairing, "Pairings") if {*_PARENTS} & part.keys() else (_last(gathered, young), "Hatch results")
        )
        if len(young) > len(told):
            gathered.say(
                "litters told in one cell, such as '5 Albino, 4 normal', entered as a row for each kind"
            )
            extra = [*extra, ("Young", base["Genes"])]
        gathered.note(row, home[0], home[1], extra)


def _last(gathered: Gathered, young: list[Values]) -> Values | None:
    return gathered.records["Hatch results"][-1] if young else None


def _young(row: OldRow, base: Values) -> list[Values]:
    """The row's kinds of young: one for each column of counts, and one for what the row says of them by itself."""
    counted = [
        (dict(given), part)
        for (sheet, given), part in row.parts.items()
        if sheet == "Hatch results" and given
    ]
    live = any(given.get("Outcome") == "live" for given, _ in counted)
    by_itself = _TELLING - {"Genes"} if live else _TELLING
    alone = bool(by_itself & base.keys())
    records = [base] if alone else []
    for given, part in counted:
        shared = {c: v for c, v in base.items() if c in ("Pairing", "Clutch", "Date") and c not in part}
        if given.get("Outcome") == "live" and "Genes" in base and not alone:
            shared["Genes"] = base["Genes"]
        if "Notes" in base and not records:
            shared["Notes"] = base["Notes"]
        records.append(shared | given | part)
    return records


def _kinds(record: Values) -> list[Values]:
    """The record, or one for each kind of young that its label counts; what else it says stands on the first."""
    count = record.get("Count")
    kinds = kinds_of(words_of(record.get("Genes", "")), count if isinstance(count, int) else None)
    if not kinds:
        return [record]
    told = [
        {"Genes": kind.label, "Count": kind.count} | ({"Sex": kind.sex} if kind.sex else {}) for kind in kinds
    ]
    later = {column: value for column, value in record.items() if column != "Notes"}
    return [(record if number == 0 else later) | kind for number, kind in enumerate(told)]
