"""Shows what each gene of a species multiplies the price of an animal by, with its interval."""

from __future__ import annotations

import pandas as pd

from charts.later import alt
from charts.theme import SHAPES, Heading, finished, layered, named

_ROW = 28
"""Pixels a gene takes."""
_TOLD, _GUESS = "told", "a guess"
_MARKS = {_TOLD: (SHAPES[0], True), _GUESS: (SHAPES[1], False)}
_COLUMNS = ["name", "known", "factor", "factor_low", "factor_high", "n"]


def gene_premiums(premiums: pd.DataFrame) -> alt.LayerChart:
    """The factor (point) and its 95 % interval (bar) of each gene on a log scale; the upright line is 'no difference'.

    `premiums` are the rows of findings.gene_premiums of one species and currency. A gene that the adverts can't tell
    apart from another is an open diamond. An empty table gives an empty chart.
    """
    base = named("premiums").encode(y=_gene(), tooltip=_tooltip())
    alike = named("alike").mark_rule(style="expected").encode(x=_times("at"))
    reach = base.mark_bar(style="range", height=12).encode(x=_times("factor_low"), x2="factor_high:Q")
    points = (_points(base, known) for known in _MARKS)
    return finished(layered(alike, reach, *points), heading(premiums), data(premiums))


def data(premiums: pd.DataFrame) -> dict[str, pd.DataFrame]:
    """The rows drawn, the dearest gene first, and the line of no difference."""
    rows = _ordered(premiums)
    tied = rows["note"].fillna("").astype(str).str.len() > 0
    rows = rows.assign(name=_names(rows), known=[_GUESS if guess else _TOLD for guess in tied])
    return {"premiums": rows[_COLUMNS], "alike": pd.DataFrame({"at": [1.0]})}


def heading(premiums: pd.DataFrame) -> Heading:
    """The words of the chart of these genes."""
    if premiums.empty:
        return Heading(
            "What each gene is worth", "too few adverts yet", "A chart of gene prices without genes."
        )
    rows = _ordered(premiums)
    species, currency = rows["species"].iloc[0], rows["currency"].iloc[0]
    each = zip(_names(rows), rows["factor"], rows["factor_low"], rows["factor_high"], strict=True)
    lines = (
        f"{name} times {factor:.2f}, 95 % from {low:.2f} to {high:.2f}" for name, factor, low, high in each
    )
    return Heading(
        f"{species}: what each gene is worth",
        f"price times, today, all else alike; {currency}; bar 95 %"
        + ("; open diamond: a guess" if (rows["note"].fillna("") != "").any() else ""),
        f"What each gene of {species} multiplies the price by, {currency}. {'; '.join(lines)}.",
        height=_ROW * len(rows),
    )


def _ordered(premiums: pd.DataFrame) -> pd.DataFrame:
    return premiums.sort_values(["factor", "gene", "standing"], ascending=[False, True, True], kind="stable")


def _names(rows: pd.DataFrame) -> list[str]:
    """'Motley', 'Motley, two copies', 'het Anery'."""
    how = {"two copies": "{}, two copies", "het": "het {}"}
    return [
        how.get(standing, "{}").format(gene)
        for gene, standing in zip(rows["gene"], rows["standing"], strict=True)
    ]


def _points(base: alt.Chart, known: str) -> alt.Chart:
    """The factors that can be told, or those that are a guess, in a shape of their own."""
    shape, filled = _MARKS[known]
    mark = base.transform_filter(alt.datum.known == known)
    return mark.mark_point(style="observed", shape=shape, filled=filled, size=70).encode(x=_times("factor"))


def _gene() -> alt.Y:
    axis = alt.Axis(title=None, labelLimit=170, domain=False, ticks=False, labelPadding=8, grid=False)
    return alt.Y("name:N", sort=None, axis=axis)


def _times(field: str) -> alt.X:
    """The one axis that all layers share."""
    axis = alt.Axis(format="~g", tickCount=6, labelExpr="datum.label && '×' + datum.label")
    return alt.X(
        f"{field}:Q",
        title="multiplies the price by",
        axis=axis,
        scale=alt.Scale(type="log", nice=False, padding=10),
    )


def _tooltip() -> list[alt.Tooltip]:
    return [
        alt.Tooltip("name:N", title="gene"),
        alt.Tooltip("factor:Q", title="price times", format=".2f"),
        alt.Tooltip("factor_low:Q", title="95 % from", format=".2f"),
        alt.Tooltip("factor_high:Q", title="95 % to", format=".2f"),
        alt.Tooltip("n:Q", title="adverts and sales"),
    ]
