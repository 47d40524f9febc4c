"""The expected young of one pair, in words and aligned columns, or as JSON. Formats only; computes nothing."""

import json
from collections.abc import Iterator
from fractions import Fraction

from pipeline.findings.crossing import ExpectedCross, ExpectedYoung, Side
from pipeline.findings.shares import halved, percent

_SEXES = {"F": "Daughters", "M": "Sons", None: "Young"}
_ODDS = "Shares are what chance gives on average; one clutch may well differ."


def cross_text(expected: ExpectedCross) -> str:
    """The result as a keeper reads it on the screen: both parents, the young, then what to mind."""
    parts = ["\n".join(_pair(expected))]
    parts += ["\n".join(block) for block in _young(expected)]
    parts += ["\n".join(lines) for lines in (_after(expected), _warnings(expected)) if lines]
    return "\n\n".join(parts)


def _pair(expected: ExpectedCross) -> Iterator[str]:
    yield f"{expected.species}: expected young"
    yield f"  dam   {_side(expected.dam)}"
    yield f"  sire  {_side(expected.sire)}"


def _side(side: Side) -> str:
    if side.animal is None:
        return side.label
    return f"{side.animal} ({side.label or 'no label: see the notes'})"


def _young(expected: ExpectedCross) -> Iterator[list[str]]:
    """One block, or one a sex, each with aligned shares, percentages and labels."""
    shares = [percent_and_share(young.probability) for young in expected.young]
    widths = [max((len(texts[i]) for texts in shares), default=0) for i in (0, 1)]
    for sex, title in _SEXES.items():
        rows = [
            f"  {share:>{widths[0]}}  {told:>{widths[1]}}  {_names(young)}"
            for young, (share, told) in zip(expected.young, shares, strict=True)
            if young.sex == sex
        ]
        if rows:
            yield [title, *rows]


def _names(young: ExpectedYoung) -> str:
    """The label, and the genes a morph name stands for."""
    return young.label if young.label == young.genes else f"{young.label}  = {young.genes}"


def percent_and_share(chance: Fraction) -> tuple[str, str]:
    """'1/4' and '25 %'; an exact share stays exact however small."""
    share = float(chance)
    plain = 1e-6 <= share < 0.9995 or share in (0, 1)
    return str(chance), f"{100 * share:.3g} %" if plain else percent(share)


def _after(expected: ExpectedCross) -> list[str]:
    lines = []
    if expected.unlisted:
        _, told = percent_and_share(expected.unlisted_share)
        lines.append(f"and {expected.unlisted:,} rarer kinds, {told} of the young together.")
    if expected.sexes_differ:
        lines.append("Daughters and sons differ; each share is of all young.")
    if expected.lost:
        share, told = percent_and_share(expected.lost)
        lines.append(
            f"Lost before hatching or birth: {share} ({told}) of what was conceived; the shares are of the rest."
        )
    lines.append(_ODDS)
    if expected.inbreeding is not None:
        lines.append(_inbreeding(expected))
    return lines + list(expected.notes)


def _inbreeding(expected: ExpectedCross) -> str:
    if not expected.inbreeding:
        return "Inbreeding of the young: none by the recorded pedigree."
    via = ", ".join(f"{ancestor} {halved(part)}" for ancestor, part in expected.kin.items())
    return f"Inbreeding of the young: {halved(expected.inbreeding)} (through {via})."


def _warnings(expected: ExpectedCross) -> list[str]:
    return [f"Caution: {text}" for text in (*expected.welfare, *expected.cautions)]


def cross_record(expected: ExpectedCross) -> dict[str, object]:
    """The result as plain dicts and lists: shares as text ('1/4') and as decimals."""
    return {
        "species": expected.species,
        "dam": _side_record(expected.dam),
        "sire": _side_record(expected.sire),
        "young": [
            {"label": young.label, "genes": young.genes, "sex": young.sex, **_share_record(young.probability)}
            for young in expected.young
        ],
        "unlisted_classes": expected.unlisted,
        "unlisted": _share_record(expected.unlisted_share),
        "lost": _share_record(expected.lost),
        "inbreeding_of_young": expected.inbreeding,
        "common_ancestors": expected.kin,
        "notes": list(expected.notes),
        "welfare": list(expected.welfare),
        "cautions": list(expected.cautions),
    }


def _side_record(side: Side) -> dict[str, str | None]:
    return {"called": side.called, "animal": side.animal, "label": side.label or None}


def _share_record(share: Fraction) -> dict[str, str | float]:
    return {"share": str(share), "probability": float(share)}


def cross_json(expected: ExpectedCross) -> str:
    """The result as JSON text."""
    return json.dumps(cross_record(expected), ensure_ascii=False, indent=2)
