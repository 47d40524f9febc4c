"""Mendel's counts (Mendel 1866, translated in Bateson 1902, Mendel's Principles of Heredity, pp. 52-54)."""

MONOHYBRIDS = {  # p. 52: recessive trait -> dominant and recessive plants or seeds of the F2
    "Angular": (5474, 1850),
    "Green": (6022, 2001),
    "White coat": (705, 224),
    "Constricted": (882, 299),
    "Yellow pod": (428, 152),
    "Terminal": (651, 207),
    "Dwarf": (787, 277),
}
THREE_TO_ONE = {  # X² with 1 df and p of the same, that of Green by difference from the sum 2.138868
    "Angular": (0.262880, 0.608148),
    "White coat": (0.390743, 0.531909),
    "Constricted": (0.063506, 0.801039),
    "Yellow pod": (0.450575, 0.502062),
    "Terminal": (0.349650, 0.554311),
    "Dwarf": (0.606516, 0.436103),
}
TEN_PLANTS = [(45, 12), (27, 8), (24, 7), (19, 10), (32, 11), (26, 6), (88, 24), (22, 10), (28, 6), (25, 7)]
"""P. 53, experiment 1: round and angular seeds of ten plants."""
_BY_COTYLEDON = {  # p. 54, also data set mendelABC of the R package hwde: [form][coat] by colour of cotyledon
    "CC": [[8, 15, 9], [14, 49, 20], [8, 19, 10]],
    "Cc": [[22, 45, 17], [38, 78, 40], [25, 36, 20]],
    "cc": [[14, 18, 11], [18, 48, 16], [10, 24, 7]],
}
TRIHYBRID = [_BY_COTYLEDON[c][a][b] for a in range(3) for b in range(3) for c in _BY_COTYLEDON]
"""The 27 genotypes by form, coat and cotyledon, each in the order of copies."""
