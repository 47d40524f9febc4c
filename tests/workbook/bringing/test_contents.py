"""What a column's cells look like, asked of cells as full as a cell can be."""

from time import process_time

import pytest

from pipeline.workbook.bringing import contents, found_genes

FULL = 32_767
"""Characters of a full cell (published limit of the xlsx format)."""


@pytest.mark.parametrize("ask", [lambda cells: contents.looks_like_codes(cells, len(cells)), contents.looks_like_prices])
@pytest.mark.parametrize("more", ["1", " ", "1 ", "a1", "1.", "a"])
def test_looks_like__takes_no_time_over_full_cells(ask, more):
    start = process_time()
    assert not ask([f"1{more * FULL}"[: FULL - 2] + " !", f"2{more * FULL}"[: FULL - 2] + " !"])
    assert process_time() - start < 1


@pytest.mark.parametrize("more", ["a ", "1 ", "a1 ", "b, "])
def test_gene_rows__take_no_time_over_a_full_label(more):
    start = process_time()
    found_genes.gene_rows([("Corn snake", (more * FULL)[:FULL])], {"corn snake": {("a", "b", "c", "d", "e")}})
    assert process_time() - start < 2


@pytest.mark.parametrize(
    ("cells", "codes"),
    [(["B1", "B2"], True), (["B 01", "B 02"], True), (["23-04", "23-05"], True), (["Ada", "B2"], False), (["B1 old", "B2"], False)],
)
def test_looks_like_codes__a_word_with_a_digit(cells, codes):
    assert contents.looks_like_codes(cells, len(cells)) is codes
