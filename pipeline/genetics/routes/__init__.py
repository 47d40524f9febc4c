"""The quickest way from the animals there are to a wanted label, over generations.

space      the genotypes that matter for a goal, and what a pair gives of them
blocks     its linkage groups taken together
timing     how litters follow one another
mates      the animals of a search as it reckons with them
litters    what an animal's pairs bring, young by young
arrival    the last step: the goal itself
promising  the best of many, of which only the promising are worked out
remaining  how long it must take at the least from an animal to the goal
offers     the cheapest pairs found so far for every young genotype
kin        kinship of animals at hand and yet to be bred
search     the cheapest derivation in the hypergraph of dam x sire -> young
outlook    how long a route takes when chance has its way
"""
