"""Names that workbooks in use and spreadsheets downstream rest upon: they stay, whatever is added beside them.

Written down here by hand, apart from the registries: whoever changes one of them has to change it in both places.
"""

import pytest

from pipeline.store.database import Store
from pipeline.workbook.sheets import SETTINGS, sheet

SHEETS = """
Species: Species*, Scientific name, Young, Sex chromosomes, Female breeding weight, Male breeding weight, Female breeding age, Male breeding age, Rest between litters, Days to young, Typical litter, Notes
Genes: Species*, Gene*, Also written, Inheritance*, Locus, Dominance rank, Two copies name, Two copies, Sex-linked, Linked locus, Recombination, Readable, Misread, Welfare note, Notes
Morph names: Species*, Name*, Genes*
Animals: ID*, Name, Species*, Sex, Born, Genes, Label basis, Sire, Dam, Status, Paid, Notes
Pairings: Pairing*, Season*, Dam*, Sire*, Other sires, First paired, Last paired, Ovulated or laid, Notes
Hatch results: Pairing*, Clutch, Date, Genes, Sex, Count, Outcome, Animal, Unreadable, Notes
Weights: Animal*, Date*, Weight, Length, State, Notes
Prices: Date*, Species*, Genes*, Sex, Age class, Price*, Currency, Kind, Where, Notes
Goals: Goal*, Species*, Genes*, Wanted by, Priority
Settings: Setting*, Value
"""
"""A sheet with its columns; * marks those that must be filled."""

CHOICES = """
Species.Young: eggs, live
Species.Sex chromosomes: XY, ZW, unknown
Genes.Inheritance: recessive, incomplete dominant, dominant, line-bred
Genes.Two copies: viable, lethal
Genes.Sex-linked: no, yes
Genes.Readable: birth, later
Animals.Sex: M, F
Animals.Label basis: proved, bred here, seller
Animals.Status: keeping, for sale, sold, on loan, died
Hatch results.Outcome: live, stillborn, died in egg, slug
Weights.State: gravid, spent, ill
Prices.Age class: hatchling, juvenile, subadult, adult
Prices.Kind: asked, sold
"""

DEFAULTS = {
    "Keeper": "", "Currency": "USD", "Background carrier (%)": 1, "Level (%)": 5, "Misread (%)": 1, "Wrong sire (%)": 2,
    "Wrong label, proved (%)": 0.1, "Wrong label, bred here (%)": 1, "Wrong label, seller (%)": 5, "Wrong gene record (%)": 1,
    "Report suspicion from (%)": 50, "Seed": 1, "Pairs per male": 3, "Hatchling places": None, "Inbreeding at most (%)": 12.5,
    "Season starts (month)": 1,
}  # fmt: skip

FINDINGS = """
problems: severity, book, sheet, cell, message, hint
ratio_tests: species, scope, pairing, clutch, gene, n, chi_square, df, p_chi_square, p_exact, method, p, q, verdict
ratio_classes: scope, pairing, clutch, gene, class, observed, expected
heterogeneity: pairing, gene, clutches, chi_square_total, df_total, chi_square_pooled, df_pooled, chi_square_heterogeneity, df_heterogeneity, p_heterogeneity
carrier_odds: animal, gene, from_ancestors, p_none, p_one, p_two, label, young_scored, settled
suspicions: rank, species, kind, subject, pairing, gene, recorded, likelier, probability, bayes_factor, evidence, next_step
season_summary: season, species, pairings, clutches, eggs_or_young, live, stillborn, died_in_egg, slugs, success, success_low, success_high
calendar: pairing, due_on, rested_on
sex_ratios: species, scope, pairing, males, females, p
inbreeding: animal, f, generations_known
growth: animal, curve, n, latest_g, latest_on, target_g, ready_on, ready_early, ready_late, p_ready, blocked_by
growth_alerts: animal, date, kind, message
price_trends: species, morph, currency, n, typical, low, high, change_per_year, change_low, change_high, direction, turned_on
gene_premiums: species, gene, currency, n, factor, factor_low, factor_high
pair_options: rank, dam, sire, species, ready, f_young, expected_value, information_bits, goal_probability, cautions
pair_outcomes: dam, sire, label, probability
season_plan: dam, sire, reason
goal_routes: goal, step, season, dam, sire, keep_label, keep_sex, probability_one, young_for_95, probability_by_litter
"""
DATES = {"due_on", "rested_on", "latest_on", "ready_on", "ready_early", "ready_late", "date", "turned_on", "ready"}


def lines(text: str) -> list[tuple[str, list[str]]]:
    """Each line as its name and what follows it."""
    parted = (line.split(": ") for line in text.strip().splitlines())
    return [(name, words.split(", ")) for name, words in parted]


@pytest.mark.parametrize(("name", "columns"), lines(SHEETS))
def test_sheets__keep_their_columns(name, columns):
    found = [column.name + "*" * column.required for column in sheet(name).columns]
    assert [column for column in columns if column not in found] == []


@pytest.mark.parametrize(("place", "choices"), lines(CHOICES))
def test_columns__keep_the_words_they_allow(place, choices):
    name, column = place.split(".")
    (found,) = (one for one in sheet(name).columns if one.name == column)
    assert found.choices[: len(choices)] == tuple(choices)


def test_settings__keep_their_names_and_defaults():
    found = {setting.name: setting.default for setting in SETTINGS}
    assert {name: found.get(name, "gone") for name in DEFAULTS} == DEFAULTS


@pytest.mark.parametrize(("table", "columns"), lines(FINDINGS))
def test_findings__keep_their_columns(table, columns):
    with Store() as store:
        found = dict(store.connection.execute(f"DESCRIBE findings.{table}").df()[["column_name", "column_type"]].values)
    assert [column for column in columns if column not in found] == []
    assert {name for name, kind in found.items() if kind == "DATE"} >= DATES & set(columns)


def test_records__one_table_a_sheet_with_the_place_of_each_row():
    with Store() as store:
        for name, columns in lines(SHEETS):
            table = name.lower().replace(" ", "_")
            fields = [column.strip("*").lower().replace(" ", "_").replace("-", "_") for column in columns]
            found = [row[0] for row in store.connection.execute(f"DESCRIBE records.{table}").fetchall()]
            assert [field for field in ("book", "sheet", "row", *fields) if field not in found] == []
