"""The chart of gene factors: its words, its order and its marks."""

from charts.gene_premiums import data, gene_premiums, heading
from charts.theme import config
from tests.charts.growth_tables import premium_tables


def test_gene_premiums__renders_to_svg():
    import vl_convert

    chart = gene_premiums(*premium_tables()).properties(width=360).to_dict() | {"config": config()}
    svg = vl_convert.vegalite_to_svg(chart)
    assert "het Anery" in svg and "Hypo, two copies" in svg and "×2" in svg and "NaN" not in svg


def test_data__the_dearest_gene_first_and_guesses_marked():
    rows = data(*premium_tables())["premiums"]
    assert rows.name.to_list() == ["Hypo, two copies", "Motley", "Rust", "het Anery"]
    assert rows.known.to_list() == ["told", "told", "a guess", "told"]


def test_heading__reads_every_factor_aloud():
    words = heading(*premium_tables())
    assert words.subtitle.endswith("USD; bar 95 %; open diamond: a guess")
    assert "Motley times 2.50, 95 % from 1.80 to 3.40" in words.description


def test_heading__no_guess_no_diamond():
    premiums = premium_tables()[0].assign(note="")
    assert "diamond" not in heading(premiums).subtitle
