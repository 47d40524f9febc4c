"""What else a gene record could be, its share of the prior, and what was written under the record said again."""

import pytest

from pipeline.genetics.genes import Catalogue, Gene, Inheritance
from pipeline.genetics.labels import read_label, write_label
from pipeline.genetics.suspicions.alternatives import Fault, alternatives, changed, part_of, touched
from pipeline.genetics.suspicions.rewording import Wording

RECESSIVE, INCOMPLETE, DOMINANT = Inheritance.RECESSIVE, Inheritance.INCOMPLETE, Inheritance.DOMINANT
TWO = Catalogue("Boa", (Gene("Ash", RECESSIVE, "Ash"), Gene("Ember", INCOMPLETE, "Ember")))
SERIES = Catalogue("Boa", (Gene("Ash", RECESSIVE, "tone"), Gene("Smoke", RECESSIVE, "tone")))


def _of(catalogue, fault, *genes):
    (found,) = (
        a for a in alternatives(catalogue, 0.01, 0.01) if a.fault is fault and (not genes or a.genes == genes)
    )
    return found


@pytest.mark.parametrize("catalogue", [TWO, SERIES])
def test_alternatives__share_the_prior_of_each_record(catalogue):
    """Each record's shares come to the setting; a fault of two genes has one from each."""
    found = alternatives(catalogue, 0.01, 0.01)
    assert sum(a.prior for a in found) == pytest.approx(0.01 * len(catalogue.genes))
    assert all(sum(v.share for v in a.variants) == pytest.approx(1) for a in found)


def test_alternatives__give_both_shares_to_what_no_label_can_tell_apart():
    dominant, dies = _of(TWO, Fault.INHERITANCE, "Ash"), _of(TWO, Fault.LETHAL, "Ash")
    assert dominant.prior == pytest.approx(2 * dies.prior)


def test_alternatives__merging_and_parting_loci_change_no_misreading():
    """Else either would explain young by itself, one look the more."""
    merged = changed(TWO, _of(TWO, Fault.ALLELES).variants[0].changes)
    assert [g.misread for g in merged.genes] == pytest.approx([1 - 0.99**2] * 2)
    parted = changed(SERIES, _of(SERIES, Fault.NOT_ALLELES).variants[0].changes)
    assert [g.misread for g in parted.genes] == pytest.approx([1 - 0.99**0.5] * 2)
    assert (len(merged.loci), len(parted.loci)) == (1, 2)


def test_touched__names_the_genes_of_every_group_before_and_after():
    linked = _of(TWO, Fault.LINKED).variants[0].changes
    assert touched(TWO, linked) == {"Ash", "Ember"}
    assert [g.name for g in part_of(TWO, ["Ash"]).genes] == ["Ash"]


def test_wording__drops_hets_of_a_gene_that_shows_in_one_copy():
    after = changed(TWO, _of(TWO, Fault.INHERITANCE, "Ash").variants[0].changes)
    said = Wording(TWO, after, {}).statement(read_label("Ember, het Ash", TWO))
    assert write_label(said, after) == "Ember"


def test_wording__takes_super_for_nothing_where_two_copies_look_like_one():
    dominant = next(a for a in alternatives(TWO, 0.01, 0.01) if "one and two copies look alike" in a.says)
    after = changed(TWO, dominant.variants[0].changes)
    words = Wording(TWO, after, {})
    assert words.statement(read_label("Super Ember", TWO)) == words.statement(read_label("Ember", TWO))
