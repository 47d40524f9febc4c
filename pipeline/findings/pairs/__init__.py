"""Whom to pair next season: every pair that can be, the best set of them, and which young to keep.

goals          what the keeper is after, and how near an animal is to it
season         when the coming season is, and who is ready by then
wishes         pairs fixed and pairs ruled out
spaces         linkage groups as arrays, and every animal's odds over them
couples        what the two parents of many pairs may be, apart or together
kin_couples    the joint odds of kin
looks          what young of one linkage group can be called
outcomes       the young of many pairs, by label
value          what a litter would fetch
information    what a litter would tell of its parents
chances        how often a goal is reached, or neared
mixtures       few-valued quantities of many pairs
expected       all of these for one species
kinship        inbreeding of the young, and through whom
scoring        what a pair is worth, in points, each part in sight
species_pairs  the pairs of one species, scored
words          the score in words
cautions       what to mind
options        the tables of pairs and their young
programme      the best set of pairs, as numbers
plan           the best set of pairs, with reasons and alternatives
notes          what the plan could not do
young          the young of the book
holdbacks      which of them to keep
answer         the question for a whole book
"""

from pipeline.findings.pairs.answer import PairFindings, pair_findings
from pipeline.findings.pairs.options import LISTED, LISTED_OF_EACH

__all__ = ["LISTED", "LISTED_OF_EACH", "PairFindings", "pair_findings"]
