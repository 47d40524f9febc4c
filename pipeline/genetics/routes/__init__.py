"""The quickest way from the animals there are to a wanted label, over generations.

space   the genotypes that matter for a goal, and what a pair gives of them
search  the cheapest derivation in the hypergraph of dam x sire -> young
outlook how long a route takes when chance has its way
"""
