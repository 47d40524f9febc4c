"""The few words of statistics and genetics that the page can't do without, each in a sentence or two."""

GLOSSARY: tuple[tuple[str, str], ...] = (
    ("Label", "What the keeper wrote about an animal's genes: what it shows and what it carries."),
    (
        "Het",
        "Carries one copy of a gene without showing it. A possible het carries it with some probability.",
    ),
    (
        "Odds of carrying",
        "How likely an animal carries a gene once its label, its ancestors and all its young are weighed together, each "
        "of which may be wrong. Proved from 99 %, ruled out at 2 % or less, open between.",
    ),
    (
        "Inbreeding",
        "The chance that an animal's two copies of a gene are copies of one ancestor's (Wright 1922): 25 % for young of "
        "full sibs. It counts only ancestors on record.",
    ),
    ("Class", "Young that look alike as far as the listed genes go."),
    (
        "Expected",
        "The young of each class that the parents' labels predict on average. Real clutches scatter around it.",
    ),
    (
        "p",
        "How often chance alone would give counts at least as far from the expected ones, if the labels were right. "
        "0.03 means three clutches in a hundred. It is not the probability that the labels are right.",
    ),
    (
        "q",
        "p made stricter for the number of tests: among all results with q under 0.05, about one in twenty is expected "
        "to be a false alarm (Benjamini and Hochberg 1995).",
    ),
    (
        "To settle it",
        "More young to count before the test can tell: anything at all where they are too few, which of two readings of the "
        "labels is right where both are open; else until a departure as large as the one seen would be found four times in "
        "five. Where the counts fit well they are many, and nobody need breed them.",
    ),
    (
        "Chi-square",
        "A measure of how far observed counts lie from expected ones; df is the number of classes free to vary. Used "
        "where the expected counts are large enough; else the exact test, or a simulated one (Monte Carlo).",
    ),
    (
        "Heterogeneity",
        "Whether the clutches of one pairing disagree among themselves more than chance makes them.",
    ),
    (
        "Recombination",
        "How often two linked genes part company from one generation to the next; half means unlinked.",
    ),
    (
        "95 % range",
        "Where 95 of 100 results would fall, or, for an estimate, the values that the records leave open.",
    ),
    (
        "Bit",
        "What the answer to one question tells that may as well be yes as no, such as whether a 50% het is het.",
    ),
    (
        "Growth curve",
        "The line that goes best through an animal's weighings and those of its species, flat once it is grown. Its name "
        "(logistic, Gompertz, von Bertalanffy) says how it bends.",
    ),
    ("Typical price", "The price in the middle of the last year's: half are dearer, half cheaper."),
    (
        "Change a year",
        "The middle one of all slopes between two prices (Theil-Sen), as a share of the price. Where the price turned, or "
        "changed its pace, the slope since then.",
    ),
    (
        "Turned",
        "A fall became a rise or the other way. It is said only where a line with one knee fits clearly better than a "
        "straight line and than a single step, and the range says when the knee may have been.",
    ),
    (
        "Price times",
        "What a gene multiplies the price by when all else is alike: 1 is no difference, 2 is double, 0.8 a fifth less.",
    ),
)
