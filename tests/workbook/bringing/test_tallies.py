"""What a litter told in one cell counts; the ways of writing are common practice, no source."""

from time import process_time

import pytest

from pipeline.workbook.bringing.tallies import Kind, kinds_of


@pytest.mark.parametrize(
    ("text", "total", "expected"),
    [
        ("5 albino, 4 hypo, 9 normal", 18, [(5, "", "albino"), (4, "", "hypo"), (9, "", "normal")]),
        ("6 albino 6 normal", 12, [(6, "", "albino"), (6, "", "normal")]),
        ("2 x Hypo het Albino and 3x normal.", None, [(2, "", "Hypo het Albino"), (3, "", "normal")]),
        ("1.2 Motley; 0.0.3 normal", 6, [(1, "M", "Motley"), (2, "F", "Motley"), (3, "", "normal")]),
        ("3 Hypo, 66% het Albino\n2 normal", None, [(3, "", "Hypo, 66% het Albino"), (2, "", "normal")]),
        ("4 Motley, 0 Albino", 4, [(4, "", "Motley")]),
        ("5 albino, 4 hypo", 10, []),
        ("Motley, 66% het Albino", None, []),
        ("66% het Albino", None, []),
        ("all normal", 5, []),
        ("2022", None, []),
        ("", None, []),
    ],
)
def test_kinds_of__parts_a_tally_and_leaves_a_label(text, total, expected):
    assert kinds_of(text, total) == [Kind(*kind) for kind in expected]


@pytest.mark.parametrize("more", ["1", " ", "1 ", "1.", "1x", "\n", " and 1", ", a1", "a"])
def test_kinds_of__takes_no_time_over_a_full_cell(more):
    """A cell holds 32,767 characters (published limit of the xlsx format)."""
    start = process_time()
    kinds_of(f"5 a{more * 32_767}"[:32_766] + "!")
    assert process_time() - start < 1
