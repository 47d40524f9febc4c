"""The findings tables of the ratio tests (use store/tables.py, which names them all)."""

from pipeline.store.findings_table import FindingsTable, columns

RATIO_TESTS = FindingsTable(
    "ratio_tests",
    "Ratios",
    "Whether what hatched fits what the labels say, clutch by clutch, pairing by pairing, gene by gene.",
    columns("""
        species | VARCHAR | The species.
        scope | VARCHAR | clutch, pairing (its clutches pooled), or gene (across the collection).
        pairing | VARCHAR | The pairing; empty for scope gene.
        clutch | INTEGER | The clutch; empty unless scope is clutch.
        gene | VARCHAR | The gene, or the locus where several genes share it; empty: all genes jointly.
        n | INTEGER | Young that could be read, impossible ones included.
        chi_square | DOUBLE | Pearson's chi-square of the young that can be, under the resolution.
        df | INTEGER | Its degrees of freedom.
        p_chi_square | DOUBLE | Its p-value.
        p_exact | DOUBLE | Exact or simulated p-value, where it was needed or cheap.
        method | VARCHAR | chi-square, exact, or Monte Carlo: the one p was taken from.
        simulations | INTEGER | Simulated outcomes behind a Monte Carlo p.
        p | DOUBLE | The p-value of the verdict; where the labels leave room, the largest over their readings.
        q | DOUBLE | p adjusted for the tests of its scope, joint ones and single genes apart (Benjamini-Hochberg).
        verdict | VARCHAR | fits, strained, departs, impossible, or too few.
        expected | VARCHAR | The ratio expected, in words.
        resolution | VARCHAR | The reading of the parents' labels that fits best, where they leave room.
        impossible_young | INTEGER | Young of a class that the labels say can't occur.
        young_to_settle | INTEGER | How many more young would settle it.
        meaning | VARCHAR | The verdict in plain words.
    """),
)
RATIO_CLASSES = FindingsTable(
    "ratio_classes",
    "Ratio classes",
    "Observed and expected young of every class behind a ratio test.",
    columns("""
        species | VARCHAR | The species.
        scope | VARCHAR | clutch, pairing or gene.
        pairing | VARCHAR | The pairing.
        clutch | INTEGER | The clutch.
        gene | VARCHAR | The gene; empty: all genes jointly.
        class | VARCHAR | The class of young, as a label.
        observed | DOUBLE | Young of that class.
        expected | DOUBLE | Young expected, 0 where the labels say it can't occur.
        low | DOUBLE | Lower end of the range in which 95 % of such clutches would fall (binomial).
        high | DOUBLE | Upper end of that range.
    """),
)
RATIO_RESOLUTIONS = FindingsTable(
    "ratio_resolutions",
    "Readings of the parents' labels",
    "Where a label leaves room (a possible het), the p-value under each reading of it.",
    columns("""
        species | VARCHAR | The species.
        scope | VARCHAR | clutch or pairing.
        pairing | VARCHAR | The pairing.
        clutch | INTEGER | The clutch.
        gene | VARCHAR | The gene; empty: all genes jointly.
        resolution | VARCHAR | The reading: what each parent would have to be.
        p | DOUBLE | The p-value under it; 0 where it makes a class impossible that another allows and that occurred.
        log_likelihood | DOUBLE | Log-likelihood of the young under it; empty where p is 0 for that reason.
        best | BOOLEAN | Whether it fits best, by likelihood.
    """),
)
RATIO_PARTS = FindingsTable(
    "ratio_parts",
    "Where a joint departure comes from",
    "The joint chi-square of a pairing split into a part for each gene and for each pair of genes.",
    columns("""
        species | VARCHAR | The species.
        pairing | VARCHAR | The pairing.
        part | VARCHAR | segregation (one gene), linkage (two genes travel together), or remainder.
        gene | VARCHAR | The gene.
        other_gene | VARCHAR | The second gene of a linkage part.
        chi_square | DOUBLE | The part's chi-square.
        df | INTEGER | Its degrees of freedom.
        p | DOUBLE | Its p-value: by chi-square, exact or simulated; empty where counts are too small for any.
        recombination | DOUBLE | Recombination fraction (0..0.5), where the two depart from independence or are recorded as linked.
        recombination_low | DOUBLE | Lower end of its 95 % interval.
        recombination_high | DOUBLE | Upper end of its 95 % interval.
        phase | VARCHAR | coupling or repulsion, the likelier.
    """),
)
HETEROGENEITY = FindingsTable(
    "heterogeneity",
    "Do the clutches of a pairing agree?",
    "Total, pooled and heterogeneity chi-square of repeated clutches (heterogeneity by subtraction).",
    columns("""
        species | VARCHAR | The species.
        pairing | VARCHAR | The pairing; empty: the same cross across pairings.
        gene | VARCHAR | The gene; empty: all genes jointly.
        clutches | INTEGER | How many clutches whose young could vary, each pairing's own counted.
        chi_square_total | DOUBLE | Sum of the clutches' chi-squares.
        df_total | INTEGER | Its degrees of freedom.
        chi_square_pooled | DOUBLE | Chi-square of the clutches put together.
        df_pooled | INTEGER | Its degrees of freedom.
        chi_square_heterogeneity | DOUBLE | Total less pooled.
        df_heterogeneity | INTEGER | Its degrees of freedom.
        p_heterogeneity | DOUBLE | Its p-value: small where the clutches disagree among themselves.
    """),
)
