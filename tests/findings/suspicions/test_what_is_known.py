"""A suspicion tells what its kind of record has, and refuses the rest."""

import pytest

from pipeline.genetics.carriers.families import Clutch
from pipeline.genetics.carriers.sires import Candidate
from pipeline.genetics.collection import Young
from pipeline.genetics.statements import Statement
from pipeline.genetics.suspicions.answer import Suspect, Suspicion

ROW = Young("P", Statement(), 3)
CLUTCH = Clutch(("P", 1), "D", (Candidate("S", 1.0, True),), (ROW,), ())
GENE = Suspicion(Suspect.GENE_RECORD, "Corn snake", -1, 0.9, 0.01, ((None, 0.1),), genes=("Ash",))
PARENTAGE = Suspicion(Suspect.PARENTAGE, "Corn snake", 0, 0.9, 0.01, ((None, 0.9), ("S", 0.1)), clutch=CLUTCH)
TALLY = Suspicion(Suspect.READING, "Corn snake", 0, 0.9, 0.01, (), clutch=CLUTCH, tally=0, gene="Ash")


def test_suspicion__of_a_tally_has_its_row():
    assert TALLY.young is ROW
    assert PARENTAGE.young is None and GENE.young is None


@pytest.mark.parametrize("what", ["animal", "clutch", "gene"])
def test_suspicion__of_a_gene_record_has_no(what):
    with pytest.raises(LookupError, match=f"a suspicion of no {what}"):
        getattr(GENE, f"known_{what}")


def test_likeliest_male__may_be_one_that_is_not_in_the_book():
    assert PARENTAGE.likeliest_male is None


@pytest.mark.parametrize("own", [GENE, TALLY], ids=["gene record", "reading"])
def test_likeliest_male__is_asked_of_parentages_alone(own):
    with pytest.raises(LookupError, match="a suspicion of no sire"):
        _ = own.likeliest_male
