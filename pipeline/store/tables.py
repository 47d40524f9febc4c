"""The registry of findings: every table of schema `findings`, its columns, types and meaning.

The DuckDB tables, findings.xlsx, the report's tables and the reference in DEVELOPERS.md all derive from it. Names are
fixed; columns may be added. Every table begins with `book`, the workbook the row speaks of.
"""

from pipeline.store.findings_table import FindingsColumn, FindingsTable, columns
from pipeline.store.growth_tables import (
    GROWTH,
    GROWTH_ALERTS,
    GROWTH_CURVES,
    GROWTH_POINTS,
)
from pipeline.store.plan_tables import (
    HOLDBACKS,
    PAIR_OPTIONS,
    PAIR_OUTCOMES,
    SEASON_PLAN,
    SEASON_PLAN_ALTERNATIVES,
    SEASON_PLAN_NOTES,
)
from pipeline.store.price_tables import (
    GENE_PREMIUMS,
    LABEL_PRICES,
    PRICE_BANDS,
    PRICE_FACTORS,
    PRICE_OUTLIERS,
    PRICE_POINTS,
    PRICE_TRENDS,
    SEASON_VALUE,
)
from pipeline.store.ratio_tables import (
    HETEROGENEITY,
    RATIO_CLASSES,
    RATIO_PARTS,
    RATIO_RESOLUTIONS,
    RATIO_TESTS,
)
from pipeline.store.record_tables import BOOKS, CHANGES, RECORD_PLACES, RUNS, SHARED_ANIMALS
from pipeline.store.route_tables import GOAL_NOTES, GOAL_OUTLOOK, GOAL_ROUTES

__all__ = [
    "FINDINGS",
    "BOOKS",
    "CALENDAR",
    "CHANGES",
    "CARRIER_ODDS",
    "GENE_PREMIUMS",
    "GOAL_NOTES",
    "GOAL_OUTLOOK",
    "GOAL_ROUTES",
    "GROWTH",
    "GROWTH_ALERTS",
    "GROWTH_CURVES",
    "GROWTH_POINTS",
    "HETEROGENEITY",
    "HOLDBACKS",
    "INBREEDING",
    "KINSHIP",
    "LABEL_PRICES",
    "PAIR_OPTIONS",
    "PAIR_OUTCOMES",
    "PRICE_BANDS",
    "PRICE_FACTORS",
    "PRICE_OUTLIERS",
    "PRICE_POINTS",
    "PRICE_TRENDS",
    "PROBLEMS",
    "RATIO_CLASSES",
    "RATIO_PARTS",
    "RATIO_RESOLUTIONS",
    "RATIO_TESTS",
    "RECORD_PLACES",
    "RUNS",
    "SEASON_PLAN",
    "SEASON_PLAN_ALTERNATIVES",
    "SEASON_PLAN_NOTES",
    "SEASON_SUMMARY",
    "SEASON_VALUE",
    "SEX_RATIOS",
    "SHARED_ANIMALS",
    "FindingsColumn",
    "FindingsTable",
    "findings_table",
]

PROBLEMS = FindingsTable(
    "problems",
    "Problems in the book",
    "What could not be read or does not add up, cell by cell.",
    columns("""
        severity | VARCHAR | error: the row was left out; warning: look at it; note: good to know.
        sheet | VARCHAR | The sheet.
        cell | VARCHAR | The cell, or the row where no single cell is at fault.
        value | VARCHAR | What stood there.
        message | VARCHAR | What is wrong.
        hint | VARCHAR | What to do about it.
    """),
)
CARRIER_ODDS = FindingsTable(
    "carrier_odds",
    "Who carries what",
    "The probability that each animal carries each gene: from its ancestors, and after every record is weighed.",
    columns("""
        species | VARCHAR | The species.
        animal | VARCHAR | The animal.
        status | VARCHAR | Its Status: keeping, for sale, sold, on loan or died.
        gene | VARCHAR | The gene.
        from_ancestors | DOUBLE | Probability of at least one copy by pedigree and labels alone, no young counted.
        p_none | DOUBLE | Probability of no copy, all young counted.
        p_one | DOUBLE | Probability of one copy.
        p_two | DOUBLE | Probability of two copies.
        label | VARCHAR | What may honestly be written: the gene where it shows, 100% het, 66% het, 50% het, or nothing.
        book_label | VARCHAR | What the book says.
        says | VARCHAR | The book's label against that: fair, too much, or too little.
        young_scored | INTEGER | Young whose looks speak of this animal and gene.
        settled | VARCHAR | proved (99 % or more), ruled out (2 % or less, or twice the background), or open.
        on_visual_95 | INTEGER | Open het: further young of a visual partner, none of them showing, that make it 95 % sure not to carry.
        on_visual_99 | INTEGER | The same for 99 %.
        on_het_95 | INTEGER | The same of a partner that is het, 95 %.
        on_het_99 | INTEGER | The same of a partner that is het, 99 %.
        method | VARCHAR | exact; clutch by clutch (too many possible sires to sum in full); sampled or too tangled (a note says why).
        doubt | VARCHAR | Which record the odds are averaged over because it may be wrong (the gene's own, or that the clutch had a sire), where that moves them by 5 points.
    """),
)
SUSPICIONS = FindingsTable(
    "suspicions",
    "Which record is likely wrong",
    "Records that are more likely wrong than right once all others are weighed: causes, not symptoms. No charge against anyone.",
    columns("""
        rank | INTEGER | 1 is the likeliest.
        species | VARCHAR | The species.
        kind | VARCHAR | label, parentage, gene record, or reading.
        subject | VARCHAR | The animal, pairing, or gene whose record it is.
        pairing | VARCHAR | The pairing concerned, where one is.
        gene | VARCHAR | The gene or genes that tell.
        recorded | VARCHAR | What the book says.
        likelier | VARCHAR | What is likelier.
        probability | DOUBLE | Probability that the record is wrong, all others considered.
        bayes_factor | DOUBLE | By how much the other records raised the odds against it; a million at most.
        evidence | VARCHAR | The counts behind it.
        next_step | VARCHAR | What would settle it, with how many young.
        folded | VARCHAR | Symptoms it accounts for, which would be suspected themselves if it were right.
        method | VARCHAR | exact, or clutch by clutch; 'one fault at a time' where not every pair of faults was weighed.
    """),
)
SUSPICION_RIVALS = FindingsTable(
    "suspicion_rivals",
    "Rival explanations",
    "For each suspicion the explanations of the record of 0.5 % and more, the record's own included, with their probabilities.",
    columns("""
        rank | INTEGER | The suspicion's rank.
        place | INTEGER | 1 is the likeliest explanation.
        explanation | VARCHAR | The explanation in words.
        probability | DOUBLE | Its probability.
    """),
)
SEASON_SUMMARY = FindingsTable(
    "season_summary",
    "The seasons",
    "Pairings, litters and young of each season.",
    columns("""
        season | INTEGER | The season.
        species | VARCHAR | The species.
        pairings | INTEGER | Pairings recorded.
        clutches | INTEGER | Litters or clutches with a result.
        eggs_or_young | INTEGER | Eggs or young in all, slugs included.
        live | INTEGER | Live young.
        stillborn | INTEGER | Stillborn young.
        died_in_egg | INTEGER | Young that died in the egg.
        slugs | INTEGER | Slugs.
        success | DOUBLE | Share that lived.
        success_low | DOUBLE | Lower end of its 95 % Wilson interval.
        success_high | DOUBLE | Upper end of its 95 % Wilson interval.
    """),
)
CALENDAR = FindingsTable(
    "calendar",
    "Calendar",
    "When young are due and when the dam has rested.",
    columns("""
        species | VARCHAR | The species.
        season | INTEGER | The season.
        pairing | VARCHAR | The pairing.
        dam | VARCHAR | The dam.
        due_on | DATE | When young are due, by the species' days to young.
        born_on | DATE | When they came.
        rested_on | DATE | From when the dam may breed again.
    """),
)
SEX_RATIOS = FindingsTable(
    "sex_ratios",
    "Sexes",
    "Sexed young against one to one, by exact binomial test.",
    columns("""
        species | VARCHAR | The species.
        scope | VARCHAR | clutch, pairing or species.
        pairing | VARCHAR | The pairing.
        clutch | INTEGER | The clutch.
        males | INTEGER | Males.
        females | INTEGER | Females.
        p | DOUBLE | Two-sided exact p-value.
        q | DOUBLE | p adjusted for the number of tests (Benjamini-Hochberg).
        verdict | VARCHAR | fits, strained, departs, or too few.
    """),
)
INBREEDING = FindingsTable(
    "inbreeding",
    "Inbreeding",
    "How far each animal's parents are kin. Ancestors missing from the book count as unrelated.",
    columns("""
        species | VARCHAR | The species.
        animal | VARCHAR | The animal.
        status | VARCHAR | Its Status: keeping, for sale, sold, on loan or died.
        dam | VARCHAR | Its dam.
        sire | VARCHAR | Its sire.
        f | DOUBLE | Wright's inbreeding coefficient; 0.25 for young of full sibs.
        generations_known | DOUBLE | Generations of ancestors on record: 1 is both parents and no more, 2 all grandparents too.
        common_ancestors | VARCHAR | Ancestors that both parents descend from, with what each adds to f.
        over_limit | BOOLEAN | Whether f is more than Inbreeding at most on the Settings sheet.
    """),
)
KINSHIP = FindingsTable(
    "kinship",
    "Pairs that are kin",
    "Every pair of a kept female and a kept male of one species with an ancestor in common, the closest first.",
    columns("""
        species | VARCHAR | The species.
        dam | VARCHAR | The female.
        sire | VARCHAR | The male.
        f_young | DOUBLE | Inbreeding coefficient of their young, which is the kinship of the two.
        generations_known | DOUBLE | Generations of ancestors on record, of the one with fewer.
        common_ancestors | VARCHAR | Ancestors that both descend from, with what each adds to f_young.
        over_limit | BOOLEAN | Whether f_young is more than Inbreeding at most on the Settings sheet.
    """),
)

FINDINGS: tuple[FindingsTable, ...] = (
    BOOKS,
    SHARED_ANIMALS,
    PROBLEMS,
    RATIO_TESTS,
    RATIO_CLASSES,
    RATIO_RESOLUTIONS,
    RATIO_PARTS,
    HETEROGENEITY,
    SUSPICIONS,
    SUSPICION_RIVALS,
    CARRIER_ODDS,
    SEASON_SUMMARY,
    CALENDAR,
    SEX_RATIOS,
    INBREEDING,
    KINSHIP,
    GROWTH,
    GROWTH_CURVES,
    GROWTH_POINTS,
    GROWTH_ALERTS,
    PRICE_TRENDS,
    PRICE_POINTS,
    PRICE_BANDS,
    GENE_PREMIUMS,
    PRICE_FACTORS,
    PRICE_OUTLIERS,
    LABEL_PRICES,
    SEASON_VALUE,
    SEASON_PLAN,
    SEASON_PLAN_ALTERNATIVES,
    SEASON_PLAN_NOTES,
    PAIR_OPTIONS,
    PAIR_OUTCOMES,
    GOAL_OUTLOOK,
    GOAL_ROUTES,
    GOAL_NOTES,
    HOLDBACKS,
    RECORD_PLACES,
    RUNS,
    CHANGES,
)


def findings_table(name: str) -> FindingsTable:
    """The findings table of that name; KeyError where there is none."""
    for table in FINDINGS:
        if table.name == name:
            return table
    raise KeyError(f"no findings table named {name}")
