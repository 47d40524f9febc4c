"""The section on ratios: no pairing goes missing, and its sentences are plain."""

import pandas as pd
import pytest

from pipeline.report.page import write_page
from pipeline.report.season_tests import pooled
from tests.report.invented import HEAD, findings


def without_joint(frames, pairing):
    """The same findings with that pairing tested gene by gene alone, as where its genes are very many."""
    tests = frames["ratio_tests"]
    return frames | {"ratio_tests": tests[(tests["pairing"] != pairing) | tests["gene"].notna()]}


def test_pooled__takes_the_worst_gene_where_there_is_no_joint_test():
    tests = pd.DataFrame(
        [("b", "P1", "pairing", None), ("b", "P1", "pairing", "Albino"), ("b", "P2", "clutch", None)]
        + [("b", "P2", "pairing", "Motley"), ("b", "P2", "pairing", "Albino")],
        columns=["book", "pairing", "scope", "gene"],
    )
    found = pooled(tests)
    assert found["pairing"].tolist() == ["P1", "P2"]
    assert found["gene"].isna().tolist() == [True, False]
    assert found["gene"].tolist()[1] == "Motley"


@pytest.mark.parametrize("pairing", ["P001", "P002"])
def test_ratios__a_pairing_without_a_joint_test_is_told_and_counted(tmp_path, pairing):
    frames = findings()
    whole = write_page(frames, HEAD, tmp_path / "whole.html")
    headlines = write_page(without_joint(frames, pairing), HEAD, tmp_path / "genes.html")
    (counted,) = [line for line in headlines if "with young counted" in line]
    assert counted in whole
    assert f"Pairing {pairing} " in " ".join(headlines)
    assert "the gene that fits worst stands for\nthem" in (tmp_path / "genes.html").read_text()
    assert "fits worst stands for" not in (tmp_path / "whole.html").read_text()


def test_ratios__the_tally_agrees_in_number(tmp_path):
    headlines = write_page(findings(12), HEAD, tmp_path / "report.html")
    (counted,) = [line for line in headlines if "with young counted" in line]
    assert "1 departs, 1 strained" in counted and counted.endswith(" 3 fit.")


def test_ratios__genes_that_stand_out_are_told_in_a_sentence(tmp_path):
    frames = findings()
    gene = (
        frames["ratio_tests"]
        .iloc[[0, 1]]
        .assign(scope="gene", pairing=None, gene=["Albino", "Motley"], verdict=["impossible", "departs"])
    )
    tests = pd.concat([frames["ratio_tests"], gene], ignore_index=True)
    headlines = write_page(frames | {"ratio_tests": tests}, HEAD, tmp_path / "report.html")
    assert "Genes of which some young cannot occur, all crosses together: Albino (Corn snake)." in headlines
    assert "Genes off their expected ratio, all crosses together: Motley (Corn snake)." in headlines
