"""Who carries what: exact genotype probabilities over the pedigree, from every label, reading and clutch of a book.

evidence     what each record says of the genotypes at one locus
spaces       the diplotypes of a linkage group and Mendel's rules between them, as arrays
families     who descends from whom, clutch by clutch; each clutch's possible sires
scores       every record of a family as likelihoods, childless young folded per clutch
network      one assignment of sires as a factor graph
ordering     an elimination order and what it will cost
factors      the graph's tables, those within others multiplied into them
products     tables multiplied and summed, in the order that costs least, and what the sum owes to each
elimination  the graph calibrated: evidence and all marginals
structures   the sum over who sired what
channels     the same clutch by clutch, where the sum is too long
narrowing    the narrow part of a tangle summed out, its core left
blocks       which of the core to hold while the rest is drawn
sampling     the core sampled, with its error, within a budget
clashes      which records can't all be right
ancestors    what pedigree and labels alone give
odds         the answer, animal by animal and gene by gene
"""
