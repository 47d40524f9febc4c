"""The page: one HTML file that opens offline and asks nothing of the network.

Everything it says comes from the findings; sections pick and word, templates lay out, and a content security policy
in the page itself forbids requests and any script but the ones written here.
"""

import base64
import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from importlib.resources import files
from pathlib import Path

import pandas as pd
from markupsafe import Markup

from pipeline.report.answer import Point, points, quiet
from pipeline.report.bundle import chart_bundle
from pipeline.report.chart_files import FILES_OF_A_KIND
from pipeline.report.chosen_charts import ChosenCharts, chosen_charts
from pipeline.report.context import Context, complete
from pipeline.report.figures import Figures
from pipeline.report.head import PageHead
from pipeline.report.packing import packed
from pipeline.report.sections import SECTIONS
from pipeline.report.sections.part import Part, Section
from pipeline.report.templating import environment
from pipeline.store.foremost import Cut


def write_page(
    findings: Mapping[str, pd.DataFrame],
    head: PageHead,
    path: Path,
    chosen: ChosenCharts | None = None,
    cuts: Sequence[Cut] = (),
) -> list[str]:
    """Write the page of these findings (frames by findings table name; absent tables count as empty).

    `chosen` are the charts of growth and prices (None: chosen here); ratio charts are drawn from the findings. Returns
    the sentences of the page's first answer, sections with urgent ones first. `cuts` are the tables that are not whole:
    then only what the table of books says is sure of its numbers, and stands in the first answer, if it says anything.
    """
    context = replace(_context(findings, head, chosen or chosen_charts(findings, head)), cuts=tuple(cuts))
    shown = [section for section in SECTIONS if context.several_books or not section.club]
    parts = [(section, section.fill(context)) for section in shown]
    sure = [(section, part) for section, part in parts if section.club] if cuts else parts
    found = points(sure) or points(parts)
    path.write_text(_page(context, parts, found), encoding="utf-8", newline="\n")
    return [one.text for point in found for one in point.sentences]


def _context(findings: Mapping[str, pd.DataFrame], head: PageHead, chosen: ChosenCharts) -> Context:
    """What the sections are given; charts of ratios and carriers are left to their sections, which draw more of them."""
    figures = Figures(several_books=len(head.books) > 1)
    others = {key: one for key, one in chosen.pictures.items() if not key.startswith(("ratio/", "carrier/"))}
    drawn = {key: figures.add(one) for key, one in others.items()}
    return Context(complete(findings), head, drawn, chosen.left_out, figures)


def _page(context: Context, parts: list[tuple[Section, Part]], found: list[Point]) -> str:
    """The page as text."""
    scripts = [chart_bundle()] if context.figures.headings else []
    scripts += ["".join(map(_static, ("charts.js", "tables.js", "page.js")))]
    scripts += [_static("watch.js")] if context.head.watched else []
    template = environment().get_template("page.html")
    return template.render(
        head=context.head,
        files_of_a_kind=FILES_OF_A_KIND,
        parts=parts,
        records=context.records,
        packed=packed,
        points=found,
        quiet=quiet([part for _, part in parts]),
        figures=context.figures,
        payload=Markup(context.figures.payload()),
        style=Markup(_static("page.css")),
        scripts=[Markup(script) for script in scripts],
        hashes=[_hash(script) for script in scripts],
    )


def _static(name: str) -> str:
    return (files("pipeline.report") / "static" / name).read_text(encoding="utf-8")


def _hash(script: str) -> str:
    """The script's hash as a content security policy names it; the template sets it between two line ends."""
    digest = hashlib.sha256(f"\n{script}\n".encode()).digest()
    return f"'sha256-{base64.b64encode(digest).decode()}'"
