"""Which record is wrong: every label, reading, parentage and gene record, all else considered.

alternatives  what else each row of the Genes sheet could be
rewording     what was written, in the words of another Genes sheet
rereading     how records are read where the sheet is not as recorded
looks         every look of a family, and those that no living animal has
sheets        linkage groups of several Genes sheets side by side
pruning       joined loci within the states that they leave possible apart
unsired       clutches without a sire
bench         the families of a species under one Genes sheet
faults        structural faults and what may be so at one place
screening     a quick look at a fault
search        the structures: the record, single faults, the best found and what is near it
records       labels and readings within one structure
answer        all of them, averaged over the structures
folding       the symptoms a cause accounts for
telling       which loci speak for another sire
"""
