"""The section on worth: the season's young, gene factors and labels, from invented findings; silence from none."""

import pandas as pd

from pipeline.report.context import Context, complete
from pipeline.report.head import PageHead
from pipeline.report.sections.prices import prices
from pipeline.report.sections.worth import worth
from tests.report.invented import BOOK, HEAD, findings


def _context(head: PageHead = HEAD, **tables) -> Context:
    made = findings(animals=2) | {name: pd.DataFrame(rows).assign(book=BOOK) for name, rows in tables.items()}
    return Context(complete(made), head)


def _young(season, label, young=3):
    value = 100.0 * young
    return {
        "season": season, "species": "Corn snake", "label": label, "currency": "USD", "young": young, "priced": young,
        "source": "typical", "price": 100.0, "low": 80.0, "high": 125.0, "value": value, "value_low": 0.8 * value,
        "value_high": 1.25 * value, "sold": 1, "sold_for": 90.0, "paid": None if label else 400.0,
        "paid_known": None if label else 1, "parents": None if label else 2,
    }  # fmt: skip


def test_worth__young_of_the_page_s_season_and_their_sum():
    season = HEAD.season
    part = worth(
        _context(season_value=[_young(season, "Albino"), _young(season, None), _young(season - 1, "Hypo")])
    )
    labels = [texts[0] for texts in part.values["season"].texts]
    assert labels == ["Albino", "all young"]
    assert "1 of 2 parents" in part.values["season"].texts[1]
    assert part.highlights[0].text == (
        "Corn snake: 3 live young of the season at today's prices about 300 USD (80 % range 240 to 375); no promise."
    )


def test_worth__genes_by_falling_factor():
    rows = [{"species": "Corn snake", "gene": gene, "standing": "shows", "currency": "USD", "n": 9, "factor": factor, "factor_low": 1.0, "factor_high": 4.0} for gene, factor in (("Amel", 1.5), ("Hypo", 3.0))]  # fmt: skip
    grid = worth(_context(gene_premiums=rows)).values["genes"]
    assert [texts[0] for texts in grid.texts] == ["Hypo", "Amel"] and "1.00 to\u00a04.00" in grid.texts[0]


def test_worth__silent_without_prices():
    part = worth(_context())
    genes = part.values["genes"]
    assert not part.highlights and not genes and "dozen adverts" in genes.empty


def test_prices__says_what_is_out_of_line_and_when_it_turned():
    odd = [{"species": "Corn snake", "morph": "Hypo", "currency": "USD", "row": 25, "price": 900.0, "expected": 90.0, "low": 50.0, "high": 170.0}]  # fmt: skip
    context = _context(price_outliers=odd)
    turned = context.table("price_trends")
    turned["turned_on"] = turned["turned_low"] = turned["turned_high"] = pd.Timestamp(2024, 5, 8)
    part = prices(context)
    assert part.highlights[-1].text == "1 price out of line: Hypo, row 25."
    assert any("2024-05-08" in texts for texts in part.values["morphs"].texts)
