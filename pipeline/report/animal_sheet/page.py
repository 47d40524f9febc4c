"""The sheet as one HTML page: no script, nothing fetched, black on white when printed."""

from collections.abc import Mapping
from datetime import date
from importlib.resources import files
from typing import Any

from markupsafe import Markup

from pipeline.findings.one_animal import OneAnimal
from pipeline.report.animal_sheet import words
from pipeline.report.animal_sheet.files import MARK
from pipeline.report.animal_sheet.picture import growth_picture
from pipeline.report.cautions import CAUTIONS
from pipeline.report.templating import environment
from pipeline.report.verdicts import STANDS_OUT, VERDICTS

_ELSEWHERE = frozenset({"A price is no promise"})
"""Cautions on what a sheet doesn't tell."""


def sheet_html(found: OneAnimal, *, book: str, keeper: str, as_of: date) -> str:
    """The page of one animal; the same findings give the same text."""
    template = environment().get_template("animal_sheet.html")
    style = (files("pipeline.report") / "static" / "animal_sheet.css").read_text(encoding="utf-8")
    return template.render(
        mark=Markup(MARK), style=Markup(style), book=words.cut(book), keeper=words.cut(keeper, 80),
        as_of=as_of, **_said(found),
    )  # fmt: skip


def _said(found: OneAnimal) -> Mapping[str, Any]:
    """What the template lays out."""
    animal = found.animal
    return {
        "id": words.cut(animal.id, 60), "name": words.cut(animal.name, 80), "cut": words.cut,
        "identity": words.identity(animal, found.care),
        "claim": words.cut(found.claim, 400), "book_label": words.cut(found.book_label, 400),
        "basis": words.basis_words(animal), "claim_note": words.claim_note(found),
        "genes": words.gene_rows(found), "absent": words.absent(found),
        "ancestors": found.ancestors, "kin": words.kin_sentence(found),
        "chart": growth_picture(found.growth, found.growth_curves, found.growth_points),
        "growth": words.growth_facts(found), "alerts": words.alerts(found),
        "litters": [(words.litter_row(one), one.verdict) for one in found.litters],
        "meanings": _meanings(found), "verdicts": _verdicts(found), "offspring": words.offspring_sentence(found),
        "care": words.care_facts(found), "welfare": list(words.welfare(found)),
        "suspicions": words.suspicions(found), "problems": words.problems(found),
        "cautions": [caution for caution in CAUTIONS if caution.title not in _ELSEWHERE],
    }  # fmt: skip


def _meanings(found: OneAnimal) -> list[tuple[str, str]]:
    """What the tests say of the clutches that stand out."""
    return [
        (
            words.cut(one.pairing, 30) + ("" if one.pooled else f", clutch {one.clutch}"),
            words.cut(one.meaning, 500),
        )
        for one in found.litters
        if one.verdict in STANDS_OUT and one.meaning
    ]


def _verdicts(found: OneAnimal) -> list[Any]:
    """The verdicts that the sheet uses, worst first, to be explained below."""
    used = {one.verdict for one in found.litters}
    return [verdict for verdict in VERDICTS if verdict.word in used]
