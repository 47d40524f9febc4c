"""What the sheet says, in sentences and in pairs of term and fact."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

import pandas as pd

from pipeline.findings.one_animal import Litter, OneAnimal
from pipeline.genetics.collection import Animal, Basis, Outcome
from pipeline.report.formats import odds_text, percent_text, shares

Facts = list[tuple[str, str]]
LONGEST = 160
"""Letters of a name or label that the sheet repeats; a book may hold ten thousand in one cell."""
_BASIS = {Basis.PROVED: "proved by breeding", Basis.BRED_HERE: "bred here", Basis.SELLER: "the seller's word"}
_SEXES = {"F": "female", "M": "male", None: "sex not known"}
_METHODS = {
    "clutch by clutch": "Too many sires are possible to sum over all of them, so each clutch's sire was weighed by itself.",
    "sampled": "The pedigree is too tangled for exact odds; these are sampled, within a few points.",
    "too tangled": "The pedigree is too tangled to weigh; no odds can be given.",
}
_LOST = {Outcome.STILLBORN: "stillborn", Outcome.DIED_IN_EGG: "died in egg", Outcome.SLUG: "slug"}
_LETHAL = "Recorded as lethal in two copies: two carriers paired lose a quarter of their young."
_ALERTS_TAIL = "On an animal that loses weight or looks ill a reptile vet decides."


def cut(text: object, longest: int = LONGEST) -> str:
    """The text, shortened where it is longer than a page can use."""
    words = "" if text is None or pd.isna(text) else str(text)
    return words if len(words) <= longest else f"{words[: longest - 1].rstrip()}…"


def iso(day: object) -> str:
    """A date as 2026-05-03; '' where there is none."""
    return "" if day is None or pd.isna(day) else f"{day:%Y-%m-%d}"


def identity(animal: Animal, care: Mapping[str, Any]) -> list[str]:
    """Species, sex, birth and whereabouts, as the page's second line has them."""
    scientific = cut(care.get("scientific_name"), 60)
    born = iso(animal.born) or (str(animal.born_year) if animal.born_year else "")
    return [
        cut(animal.species, 60) + (f" ({scientific})" if scientific else ""),
        _SEXES[animal.sex],
        f"born {born}" if born else "birth not recorded",
        animal.status,
    ]


def basis_words(animal: Animal) -> str:
    """What the book's label rests on."""
    return _BASIS[animal.basis]


def claim_note(found: OneAnimal) -> str:
    """What the claim means, against the book's own label."""
    methods = [_METHODS[m] for m in found.genes["method"].dropna().unique() if m in _METHODS]
    said = set(found.genes["says"].dropna())
    against = [f"the book claims {words}" for words in ("too much", "too little") if words in said]
    verdict = (
        f"Weighed against ancestors and young, {' and '.join(against)}; see the genes below."
        if against
        else ""
    )
    return " ".join(filter(None, [verdict, *methods]))


def gene_rows(found: OneAnimal) -> list[tuple[str, ...]]:
    """Gene, claim, chances of no, one and two copies, the book's words, and what it rests on; settled absences left out."""
    genes = found.genes
    told = genes[
        (genes["settled"] != "ruled out")
        | (genes["label"].fillna("") != "")
        | (genes["book_label"].fillna("") != "")
    ]
    return [
        (
            cut(row.gene, 60), cut(row.label, 60) or "nothing", *map(_chance, (row.p_none, row.p_one, row.p_two)),
            cut(row.book_label, 60) or "nothing", "" if pd.isna(row.says) else row.says, _rests_on(row),
        )
        for row in told.itertuples()
    ]  # fmt: skip


def absent(found: OneAnimal) -> str:
    """The genes that are ruled out and that no label names."""
    genes = found.genes
    gone = (genes["settled"] == "ruled out") & genes[["label", "book_label"]].fillna("").eq("").all(axis=1)
    return ", ".join(cut(gene, 40) for gene in genes.loc[gone, "gene"])


def _chance(value: float) -> str:
    return "" if pd.isna(value) else percent_text(value)


def _rests_on(row: Any) -> str:
    parts = (
        []
        if pd.isna(row.from_ancestors)
        else [f"pedigree and labels: {odds_text(row.from_ancestors)} to carry it"]
    )
    parts.append(f"{row.young_scored:.0f} young counted" if row.young_scored else "no young counted")
    if not pd.isna(row.on_visual_95) and row.on_visual_95 > 0:
        parts.append(
            f"{row.on_visual_95:.0f} more of a visual partner, none showing it, make it 95 % sure not to"
        )
    return "; ".join(parts)


def kin_sentence(found: OneAnimal) -> str:
    """Inbreeding and the common ancestors of the parents, in words."""
    if found.inbreeding.empty:
        return "Inbreeding could not be reckoned."
    row = found.inbreeding.iloc[0]
    unknown = "ancestors the book doesn't name count as unrelated"
    generations = f"{row.generations_known:.2g}" if row.generations_known else ""
    known = f"{generations} generation{'' if generations == '1' else 's'} on record; {unknown}"
    if not row.generations_known:
        return "Neither parent is in the book, so nothing can be said of inbreeding."
    if not row.f:
        return f"No inbreeding on record: its parents share no known ancestor ({known})."
    f = shares(pd.Series([row.f]))[0]
    over = " That is more than the most set for planned young." if row.over_limit else ""
    shared = f"common ancestors of its parents, with what each adds: {cut(row.common_ancestors)}"
    return f"Inbreeding (Wright's F): {f}; {shared} ({known}).{over}"


def growth_facts(found: OneAnimal) -> Facts:
    """Weight, target and readiness."""
    if found.growth.empty:
        return []
    row = found.growth.iloc[0]
    late = iso(row.ready_late) or "maybe never"
    early = iso(row.ready_early)
    between = f", likely between {early} and {late} (80 %)" if early and early != late else ""
    blocked = "" if pd.isna(row.blocked_by) else str(row.blocked_by)
    facts = [
        ("Latest weight", "" if pd.isna(row.latest_g) else f"{row.latest_g:,.0f} g on {iso(row.latest_on)}"),
        ("Breeding weight", "" if pd.isna(row.target_g) else f"{row.target_g:,.0f} g, by your Species sheet"),
        ("Ready by weight, age, rest", _ready(row, blocked, between)),
        ("Ready by season start", _chance(row.p_ready)),
        (
            "Curve",
            ""
            if pd.isna(row.curve) or row.curve == "none"
            else f"{row.curve}, from {row.basis}; {row.n} plain weighings",
        ),
        ("Note", cut(row.note, 300)),
    ]
    return [(term, fact) for term, fact in facts if fact]


def _ready(row: pd.Series, blocked: str, between: str) -> str:
    if blocked == "nothing":
        return "yes" + (f", since {iso(row.ready_on)}" if iso(row.ready_on) else "")
    waits = f"; waits for {blocked}" if blocked else ""
    return f"{iso(row.ready_on)}{between}{waits}" if iso(row.ready_on) else f"no date can be told{waits}"


def alerts(found: OneAnimal) -> list[str]:
    """What the scale told, each with its day."""
    rows = found.growth_alerts
    told = [f"{iso(row.date)}: {cut(row.message, 300)}" for row in rows.itertuples()]
    return [*told, _ALERTS_TAIL] if told else []


def litter_row(one: Litter) -> tuple[str, ...]:
    """Season, pairing, with whom, clutch, born, young, lost."""
    role = f"as {one.role}" if one.role != "one of several sires" else one.role
    clutch = "all together" if one.pooled else "" if one.clutch is None else str(one.clutch)
    live = (
        f"{one.outcomes.get(Outcome.LIVE, 0)} of {one.young}"
        if one.young
        else "no result yet"
        if not one.pooled
        else ""
    )
    lost = ", ".join(
        f"{count} {_LOST[kind]}{'s' if kind is Outcome.SLUG and count > 1 else ''}"
        for kind, count in one.outcomes.items()
        if kind in _LOST and count
    )
    partners = cut(" or ".join(one.partners), 60)
    return (str(one.season), cut(one.pairing, 30), role, partners, clutch, iso(one.born), live, lost)


def offspring_sentence(found: OneAnimal) -> str:
    """How many young it has, on record."""
    own = found.offspring
    if not (own.young or own.perhaps or own.animals):
        return "No young on record."
    parts = [f"{own.young} eggs or young on record as a parent, {own.live} of them live"] if own.young else []
    if own.perhaps:
        parts.append(f"{own.perhaps} more that it may have sired, as one of several males")
    if own.animals:
        parts.append(f"{len(own.animals)} with a row of their own: {_listed(own.animals)}")
    return "; ".join(parts) + "."


def _listed(names: Iterable[str], most: int = 12) -> str:
    told = [cut(name, 30) for name in names]
    return ", ".join(told[:most]) + (f" and {len(told) - most} more" if len(told) > most else "")


def care_facts(found: OneAnimal) -> Facts:
    """What the keeper's own Species sheet says, for the animal's sex where it differs."""
    care, sexes = found.care, {"F": ("female",), "M": ("male",), None: ("female", "male")}[found.animal.sex]
    facts = [("Young", {"eggs": "from eggs", "live": "live-born"}.get(care.get("young") or "", ""))]
    for sex in sexes:
        parts = [_amount(care, f"{sex}_breeding_weight", "g"), _amount(care, f"{sex}_breeding_age", "months")]
        facts.append((f"Bred from ({sex})", ", ".join(filter(None, parts))))
    facts += [
        ("Rest between litters", _amount(care, "rest_between_litters", "months")),
        ("Days to young", _amount(care, "days_to_young", "")),
        ("Typical litter", _amount(care, "typical_litter", "young")),
        ("Notes", cut(care.get("notes"), 600)),
    ]
    return [(term, fact) for term, fact in facts if fact]


def _amount(care: Mapping[str, Any], field: str, unit: str) -> str:
    value = care.get(field)
    return "" if value is None else f"{value:,.10g} {unit}".strip()


def welfare(found: OneAnimal) -> Iterator[tuple[str, str]]:
    """The book's welfare notes of genes it has or may have, and what lethal genes do in two copies."""
    notes = {gene: [note] for gene, note in found.welfare}
    for gene in found.lethal:
        notes.setdefault(gene, []).append(_LETHAL)
    for gene, own in notes.items():
        yield cut(gene, 60), " ".join(cut(note, 400) for note in own)


def suspicions(found: OneAnimal) -> list[str]:
    """Each suspicion of the animal or its pairings in a sentence or two."""
    told = []
    for row in found.suspicions.itertuples():
        chance = (
            f" ({odds_text(row.probability)} that the record is wrong)"
            if not pd.isna(row.probability)
            else ""
        )
        step = "" if pd.isna(row.next_step) else f" Next: {cut(row.next_step, 300)}"
        told.append(
            f"{cut(row.subject, 60)}, {row.kind}: recorded {cut(row.recorded)}; likelier {cut(row.likelier)}{chance}.{step}"
        )
    return told


def problems(found: OneAnimal) -> list[str]:
    """What the checks say of its row in the book."""
    return [
        f"{row.cell}: {cut(row.message, 400)} {cut(row.hint, 300)}".strip()
        for row in found.problems.itertuples()
    ]
