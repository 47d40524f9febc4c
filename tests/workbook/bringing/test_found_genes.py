from pipeline.workbook.bringing.found_genes import declared_names, gene_rows


def genes(*labels, declared=()):
    rows = gene_rows([("Boa", label) for label in labels], {"boa": set(declared)})
    assert all("Inheritance" not in row and "Fill in Inheritance" in row["Notes"] for row in rows)
    return [row["Gene"] for row in rows]


def test_gene_rows__set_words_for_copies_and_odds_aside():
    assert genes("Super Motley, 66% het Albino", "double het Anery, ph Hypo", "not Ember") == [
        "Albino",
        "Anery",
        "Ember",
        "Hypo",
        "Motley",
    ]


def test_gene_rows__what_stands_alone_parts_what_stands_together():
    assert genes("Motley Hypo", "het Hypo") == ["Hypo", "Motley"]
    assert genes("Blood Moon", "Blood Moon het Hypo") == ["Blood Moon", "Hypo"]


def test_gene_rows__wild_type_and_blanks_are_no_gene():
    assert genes("normal", "wild type", "?", "classic het Albino") == ["Albino"]


def test_gene_rows__leave_out_what_the_list_declares():
    declared = declared_names({
        "Genes": [{"Species": "Boa", "Gene": "Motley", "Also written": "Mot, Mtl"}],
        "Morph names": [{"Species": "Boa", "Name": "Red Dawn"}],
    })  # fmt: skip
    assert genes("Mot het Albino", "Red Dawn", declared=declared["boa"]) == ["Albino"]


def test_gene_rows__point_at_a_likely_misspelling():
    notes = {row["Gene"]: row["Notes"] for row in gene_rows([("Boa", "Albino"), ("Boa", "het Albno")], {})}
    assert "only a spelling of albino" in notes["Albno"]


def test_gene_rows__do_not_depend_on_the_order_of_rows():
    labels = [("Boa", "Motley Hypo"), ("Boa", "het Hypo"), ("Corn", "Amel"), ("Boa", "HYPO")]
    assert gene_rows(labels, {}) == gene_rows(reversed(labels), {})
