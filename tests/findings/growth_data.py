"""Published growth series, with their sources."""

from pipeline.findings.growth.curves import Curve

VON_BERTALANFFY_LENGTH = Curve("von Bertalanffy (length)", 1.0)
"""The member of the family for lengths and the like; weights are never fitted with it."""

# R data set Orange (Draper & Smith 1998): circumference (mm) of five trees by age (days).
ORANGE_AGES = [118, 484, 664, 1004, 1231, 1372, 1582]
ORANGE = {
    1: [30, 58, 87, 115, 120, 142, 145],
    2: [33, 69, 111, 156, 172, 203, 203],
    3: [30, 51, 75, 108, 115, 139, 140],
    4: [32, 62, 112, 167, 179, 209, 214],
    5: [30, 49, 81, 125, 142, 174, 177],
}
# R data set ChickWeight (Crowder & Hand 1990): weight (g) of chick 1 by age (days).
CHICK_DAYS = [0, 2, 4, 6, 8, 10, 12, 14, 16, 18, 20, 21]
CHICK_1 = [42, 51, 59, 64, 76, 93, 106, 125, 149, 171, 199, 205]
# R data set DNase (Davidian & Giltinan 1995), run 1: optical density by concentration.
DNASE_CONCENTRATIONS = [0.04882812, 0.1953125, 0.390625, 0.78125, 1.5625, 3.125, 6.25, 12.5]
DNASE_DENSITIES = [
    0.017, 0.018, 0.121, 0.124, 0.206, 0.215, 0.377, 0.374, 0.614, 0.609, 1.019, 1.001, 1.334, 1.364, 1.730, 1.710,
]  # fmt: skip
# R data set Loblolly (Kung 1986), seed 329: height (ft) by age (years).
LOBLOLLY_AGES = [3, 5, 10, 15, 20, 25]
LOBLOLLY_329 = [3.93, 9.34, 26.08, 37.79, 48.31, 56.43]
# NIST Statistical Reference Datasets, nonlinear regression: Rat42 and Misra1a (public domain).
RAT42_X = [9, 14, 21, 28, 42, 57, 63, 70, 79]
RAT42_Y = [8.93, 10.80, 18.59, 22.33, 39.35, 56.11, 61.73, 64.62, 67.08]
MISRA1A_X = [77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0]
MISRA1A_Y = [10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78]
