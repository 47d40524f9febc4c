"""The registry of findings: every table of schema `findings`, its columns, types and meaning.

The DuckDB tables, findings.xlsx, the report's tables and the reference in DEVELOPERS.md all derive from it. Names are
fixed; columns may be added. Every table begins with `book`, the workbook the row speaks of.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class FindingsColumn:
    """One column: its DuckDB type and what it tells a keeper. Probabilities are 0..1, weights g, lengths cm."""

    name: str
    type: str
    meaning: str


@dataclass(frozen=True)
class FindingsTable:
    """One table of answers. `title` heads its sheet in findings.xlsx and its section of the page."""

    name: str
    title: str
    meaning: str
    columns: tuple[FindingsColumn, ...]

    @property
    def names(self) -> list[str]:
        return [column.name for column in self.columns]


def _columns(text: str) -> tuple[FindingsColumn, ...]:
    """One column a line: name, type, meaning, separated by ' | '."""
    lines = ["book | VARCHAR | The workbook.", *filter(None, map(str.strip, text.splitlines()))]
    return tuple(FindingsColumn(*(part.strip() for part in line.split("|"))) for line in lines)


PROBLEMS = FindingsTable(
    "problems",
    "Problems in the book",
    "What could not be read or does not add up, cell by cell.",
    _columns("""
        severity | VARCHAR | error: the row was left out; warning: look at it; note: good to know.
        sheet | VARCHAR | The sheet.
        cell | VARCHAR | The cell, or the row where no single cell is at fault.
        value | VARCHAR | What stood there.
        message | VARCHAR | What is wrong.
        hint | VARCHAR | What to do about it.
    """),
)
RATIO_TESTS = FindingsTable(
    "ratio_tests",
    "Ratios",
    "Whether what hatched fits what the labels say, clutch by clutch, pairing by pairing, gene by gene.",
    _columns("""
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
    _columns("""
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
    _columns("""
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
    _columns("""
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
    _columns("""
        species | VARCHAR | The species.
        pairing | VARCHAR | The pairing; empty: the same cross across pairings.
        gene | VARCHAR | The gene; empty: all genes jointly.
        clutches | INTEGER | How many clutches, each pairing's own counted.
        chi_square_total | DOUBLE | Sum of the clutches' chi-squares.
        df_total | INTEGER | Its degrees of freedom.
        chi_square_pooled | DOUBLE | Chi-square of the clutches put together.
        df_pooled | INTEGER | Its degrees of freedom.
        chi_square_heterogeneity | DOUBLE | Total less pooled.
        df_heterogeneity | INTEGER | Its degrees of freedom.
        p_heterogeneity | DOUBLE | Its p-value: small where the clutches disagree among themselves.
    """),
)
CARRIER_ODDS = FindingsTable(
    "carrier_odds",
    "Who carries what",
    "The probability that each animal carries each gene: from its ancestors, and after every record is weighed.",
    _columns("""
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
    """),
)
SEASON_SUMMARY = FindingsTable(
    "season_summary",
    "The seasons",
    "Pairings, litters and young of each season.",
    _columns("""
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
    _columns("""
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
    _columns("""
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
    _columns("""
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
    _columns("""
        species | VARCHAR | The species.
        dam | VARCHAR | The female.
        sire | VARCHAR | The male.
        f_young | DOUBLE | Inbreeding coefficient of their young, which is the kinship of the two.
        generations_known | DOUBLE | Generations of ancestors on record, of the one with fewer.
        common_ancestors | VARCHAR | Ancestors that both descend from, with what each adds to f_young.
        over_limit | BOOLEAN | Whether f_young is more than Inbreeding at most on the Settings sheet.
    """),
)
GROWTH = FindingsTable(
    "growth",
    "Growth and readiness",
    "Each animal's growth curve and when it is ready to breed by weight, age and rest.",
    _columns("""
        species | VARCHAR | The species.
        animal | VARCHAR | The animal.
        sex | VARCHAR | M or F.
        curve | VARCHAR | logistic, Gompertz, von Bertalanffy, or none.
        basis | VARCHAR | What the curve rests on: own weighings, own and species (its own, drawn toward those of its species and sex), or species (never weighed).
        n | INTEGER | Plain weighings the curve rests on.
        latest_g | DOUBLE | Latest plain weight.
        latest_on | DATE | Its day.
        target_g | DOUBLE | Breeding weight of its species and sex.
        ready_on | DATE | The first day on which weight, age and rest are all met.
        ready_early | DATE | Early end of the 80 % interval.
        ready_late | DATE | Late end of the 80 % interval; empty where it may never be reached.
        p_ready | DOUBLE | Probability of being ready by the start of the coming season.
        season_on | DATE | The start of the coming season.
        blocked_by | VARCHAR | What waits: weight, age, rest, or nothing.
        asymptote_g | DOUBLE | Grown weight by the curve; empty where the weighings do not settle it.
        asymptote_low | DOUBLE | Lower end of its 80 % interval; empty likewise.
        asymptote_high | DOUBLE | Upper end of its 80 % interval; empty likewise.
        note | VARCHAR | What limits the answer, in plain words.
    """),
)
GROWTH_CURVES = FindingsTable(
    "growth_curves",
    "Growth curves",
    "Weight by each animal's curve, from its first weighing to a little beyond the date it is ready.",
    _columns("""
        animal | VARCHAR | The animal.
        on | DATE | The day.
        weight_g | DOUBLE | Weight by the curve.
        low_g | DOUBLE | Lower end of its 80 % interval.
        high_g | DOUBLE | Upper end of its 80 % interval.
    """),
)
GROWTH_POINTS = FindingsTable(
    "growth_points",
    "Weighings",
    "The weighings behind the curves.",
    _columns("""
        animal | VARCHAR | The animal.
        on | DATE | The day of weighing.
        weight_g | DOUBLE | The weight.
        state | VARCHAR | plain, gravid, spent, ill, doubted (looks slipped), or by length (weight reckoned from a length).
        used | BOOLEAN | Whether the curve rests on it: plain weighings, and those by length.
    """),
)
GROWTH_ALERTS = FindingsTable(
    "growth_alerts",
    "Weights that want a look",
    "Weight lost, no gain, likely slips of the pen, animals not weighed for long or ill at the last weighing.",
    _columns("""
        animal | VARCHAR | The animal.
        date | DATE | The day of the weighing.
        kind | VARCHAR | likely slip, weight lost, no gain, not weighed, or ill.
        message | VARCHAR | What was seen, and what to do.
    """),
)
PRICE_TRENDS = FindingsTable(
    "price_trends",
    "Prices",
    "What each morph is offered or sold for, and where that is going. A trend is no promise.",
    _columns("""
        species | VARCHAR | The species.
        morph | VARCHAR | The label.
        currency | VARCHAR | The currency.
        kind | VARCHAR | asked, sold, or both (asking prices scaled to sold ones by the book's own ratio).
        n | INTEGER | Adverts and sales.
        first_on | DATE | The earliest.
        last_on | DATE | The latest.
        asked_scale | DOUBLE | What asking prices were multiplied by to stand for sold ones; empty where none were.
        n_last_year | INTEGER | Of these, adverts and sales of the last year.
        typical | DOUBLE | Weighted median of the last year.
        low | DOUBLE | Lower end of the range that four in five such prices keep to.
        high | DOUBLE | Upper end of that range.
        change_per_year | DOUBLE | Change a year as a share (Theil-Sen on log price): -0.1 is a tenth less.
        change_low | DOUBLE | Lower end of its 95 % interval.
        change_high | DOUBLE | Upper end of its 95 % interval.
        p | DOUBLE | p-value of a trend (Mann-Kendall; after a turn or change of pace, of the slope since).
        direction | VARCHAR | rising, falling, flat, or too few; after a turn or change of pace that since then, and so the change a year.
        turned_on | DATE | When a fall became a rise or the other way; empty where it did not.
        turned_low | DATE | Early end of its 95 % interval.
        turned_high | DATE | Late end of its 95 % interval.
        change_before | DOUBLE | Change a year before the turn or change of pace; empty where there was none.
        note | VARCHAR | What limits the answer, in plain words.
    """),
)
PRICE_POINTS = FindingsTable(
    "price_points",
    "Adverts and sales",
    "The single prices behind the trends.",
    _columns("""
        species | VARCHAR | The species.
        morph | VARCHAR | The label.
        currency | VARCHAR | The currency of the trend.
        kind | VARCHAR | The kind of the trend: asked, sold or both.
        on | DATE | The day; mid-year where only a year was given.
        offer | VARCHAR | asked or sold.
        price | DOUBLE | The price in the currency of the trend.
        scaled | DOUBLE | The price as the trend counts it: an asking price scaled to a sold one.
    """),
)
PRICE_BANDS = FindingsTable(
    "price_bands",
    "Price trends, drawn",
    "The trend of each price with its 95 % band, first price to last, where the direction can be told.",
    _columns("""
        species | VARCHAR | The species.
        morph | VARCHAR | The label.
        currency | VARCHAR | The currency.
        kind | VARCHAR | asked, sold or both.
        on | DATE | The day.
        price | DOUBLE | Price by the trend.
        low | DOUBLE | Lower end of its 95 % band.
        high | DOUBLE | Upper end of its 95 % band.
    """),
)

GENE_PREMIUMS = FindingsTable(
    "gene_premiums",
    "What each gene is worth",
    "What a gene multiplies the price by, all else alike, today; shrunken, so that a gene on two adverts does not rule.",
    _columns("""
        species | VARCHAR | The species.
        gene | VARCHAR | The gene.
        standing | VARCHAR | shows, two copies (against none), het, or line-bred.
        currency | VARCHAR | The currency of the prices.
        n | INTEGER | Adverts and sales that bear it so.
        factor | DOUBLE | What it multiplies the price by: 1.5 is half as much again.
        factor_low | DOUBLE | Lower end of its 95 % interval.
        factor_high | DOUBLE | Upper end of its 95 % interval.
        note | VARCHAR | What limits the answer, in plain words.
    """),
)
PRICE_FACTORS = FindingsTable(
    "price_factors",
    "What else moves the price",
    "What selling, sex, age, a year and the time of year multiply the price by, all else alike.",
    _columns("""
        species | VARCHAR | The species.
        currency | VARCHAR | The currency of the prices.
        what | VARCHAR | What is held against what.
        n | INTEGER | Adverts and sales that tell; for a quarter of the year, years.
        factor | DOUBLE | What it multiplies the price by.
        factor_low | DOUBLE | Lower end of its 95 % interval.
        factor_high | DOUBLE | Upper end of its 95 % interval.
        p | DOUBLE | For a quarter of the year, the p-value that quarters differ at all (Friedman).
    """),
)
PRICE_OUTLIERS = FindingsTable(
    "price_outliers",
    "Prices out of line",
    "Adverts and sales that all the others make unlikely. Look at them before you trust a trend that rests on them.",
    _columns("""
        species | VARCHAR | The species.
        morph | VARCHAR | The label.
        currency | VARCHAR | The currency of the price.
        row | INTEGER | Its row on the sheet Prices.
        on | DATE | The day.
        offer | VARCHAR | asked or sold.
        price | DOUBLE | The price.
        expected | DOUBLE | What the others would have it be.
        low | DOUBLE | Lower end of the range outside which a price is called out of line.
        high | DOUBLE | Upper end of that range.
        times | DOUBLE | The price over the expected one.
        note | VARCHAR | What to look at.
    """),
)
LABEL_PRICES = FindingsTable(
    "label_prices",
    "Labels hardly ever advertised",
    "What animals kept and bred here would fetch by their genes, where last year's adverts of that label don't say.",
    _columns("""
        species | VARCHAR | The species.
        label | VARCHAR | The label.
        currency | VARCHAR | The currency.
        adverts | INTEGER | Adverts and sales of that very label, of any year.
        price | DOUBLE | Price by its genes, today.
        low | DOUBLE | Lower end of the range that four in five such prices keep to.
        high | DOUBLE | Upper end of that range.
        note | VARCHAR | What the price rests on.
    """),
)
SEASON_VALUE = FindingsTable(
    "season_value",
    "What the season's young are worth",
    "Live young by label at what such animals fetch today, beside what sales in the book and Paid say. No bill, no tax paper.",
    _columns("""
        season | INTEGER | The season.
        species | VARCHAR | The species.
        label | VARCHAR | The label; empty: all young of the species.
        currency | VARCHAR | The currency.
        young | INTEGER | Live young.
        priced | INTEGER | Of these, young whose price is known.
        source | VARCHAR | typical (last year's prices of that label), genes (priced by its genes), or none.
        price | DOUBLE | Price of one.
        low | DOUBLE | Lower end of the range that four in five such prices keep to.
        high | DOUBLE | Upper end of that range.
        value | DOUBLE | Young that are priced, times the price.
        value_low | DOUBLE | Lower end of its 80 % range.
        value_high | DOUBLE | Upper end of its 80 % range.
        sold | INTEGER | Sales of that label in the book in the year from the season's start, of these young or not.
        sold_for | DOUBLE | What they brought together.
        paid | DOUBLE | Paid for the parents of these young, as far as Paid is filled; for all young of the species.
        paid_known | INTEGER | Parents with Paid filled.
        parents | INTEGER | Parents.
        note | VARCHAR | What limits the answer, in plain words.
    """),
)

PAIR_OPTIONS = FindingsTable(
    "pair_options",
    "Pairs that could be",
    "Every male and female of a species that are likely ready for the coming season, and what their young would be.",
    _columns("""
        rank | INTEGER | Place by score within its species.
        species | VARCHAR | The species.
        dam | VARCHAR | The dam.
        sire | VARCHAR | The sire.
        score | DOUBLE | Points in all: the next five columns added up.
        goal_points | DOUBLE | For the goals, 60 at most: the chance of each in a litter, or half that of a young nearer it than both parents, by priority and readiness.
        value_points | DOUBLE | For the value of the young, 25 at most, by the best pair of the species and readiness.
        information_points | DOUBLE | For what the young would tell of hidden genes, 15 at most (one bit), by readiness.
        kin_points | DOUBLE | One point off for each % of inbreeding of the young.
        lost_points | DOUBLE | One point off for each % of young that lethal genes kill.
        why | VARCHAR | The score in words.
        ready | DATE | The first day on which both are ready; empty where that can't be told.
        p_ready | DOUBLE | Probability that both are ready when the species is usually paired; one half stands for what can't be told.
        f_young | DOUBLE | Inbreeding of the young (0..1).
        common_ancestors | VARCHAR | Through whom the two are kin, and each one's part.
        goal | VARCHAR | The goal that the pair serves best.
        goal_probability | DOUBLE | Chance that one young is that goal.
        goal_by_litter | DOUBLE | Chance that a typical litter has one.
        nearer_probability | DOUBLE | Chance that one young is nearer that goal than both parents: has more of its genes, or more copies.
        young | INTEGER | Young of a typical litter; empty where neither the Species sheet nor past litters tell.
        expected_value | DOUBLE | What a typical litter would fetch at today's prices; empty where no price is known. A price is no promise.
        value_low | DOUBLE | Lower end of its 80 % range.
        value_high | DOUBLE | Upper end of its 80 % range.
        currency | VARCHAR | The currency.
        priced | DOUBLE | Share of the young whose label has a price.
        information_bits | DOUBLE | What a typical litter is expected to tell of its parents' hidden genes; 1 bit settles a question of even odds.
        information_on | VARCHAR | The gene or locus it would tell most of.
        lost | DOUBLE | Share of what is conceived that dies of two lethal copies.
        weight_ratio | DOUBLE | The heavier's latest weight over the lighter's.
        limit | VARCHAR | Why it can't be planned: inbreeding, ruled out, or nothing.
        basis | VARCHAR | together (the parents' genes weighed together), or apart (each by itself; exact where they are no kin).
        cautions | VARCHAR | What to mind.
    """),
)
PAIR_OUTCOMES = FindingsTable(
    "pair_outcomes",
    "Young of the best pairs",
    "What the young of the best pairs of each species, and of those planned, may be called, with probabilities.",
    _columns("""
        species | VARCHAR | The species.
        dam | VARCHAR | The dam.
        sire | VARCHAR | The sire.
        sex | VARCHAR | F or M, where the sexes differ; else empty.
        label | VARCHAR | What may honestly be written on it; 'rarer labels' are all those under 0.2 % together.
        probability | DOUBLE | Share of the live young; those of a pair add up to 1.
        price | DOUBLE | Today's price of one such animal; empty where none is known.
        price_low | DOUBLE | Lower end of the range that four in five such prices keep to.
        price_high | DOUBLE | Upper end of that range.
    """),
)
SEASON_PLAN = FindingsTable(
    "season_plan",
    "Next season's pairs",
    "The set of pairs with the most points under the limits on the sheet Settings. You decide; animals and law come first.",
    _columns("""
        season | INTEGER | The coming season, by the year in which it begins.
        species | VARCHAR | The species.
        dam | VARCHAR | The dam.
        sire | VARCHAR | The sire.
        pairing | VARCHAR | The pairing where the book has it already: it is kept as it is.
        score | DOUBLE | Its points.
        young | INTEGER | Young of a typical litter.
        expected_value | DOUBLE | What a typical litter would fetch at today's prices.
        reason | VARCHAR | Why this pair, and what its dam gives up for it.
        cautions | VARCHAR | What to mind.
    """),
)
SEASON_PLAN_ALTERNATIVES = FindingsTable(
    "season_plan_alternatives",
    "Other plans nearly as good",
    "Plans with one planned pair less, or one left-out pair more, the rest as good as can be; 'within 5 %' have at least 95 % of the points.",
    _columns("""
        season | INTEGER | The coming season.
        species | VARCHAR | The species.
        kind | VARCHAR | without (a planned pair is dropped), or with (a pair left out is put in).
        dam | VARCHAR | The dam of that pair.
        sire | VARCHAR | Its sire.
        score | DOUBLE | The pair's points.
        total | DOUBLE | Points of the whole plan so changed.
        share | DOUBLE | Its share of the best plan's points.
        within_5 | BOOLEAN | Whether it keeps at least 95 % of them.
        changes | VARCHAR | What else would change.
        why | VARCHAR | Why it was left out.
    """),
)
SEASON_PLAN_NOTES = FindingsTable(
    "season_plan_notes",
    "About the plan",
    "What the plan could not do, and why.",
    _columns("""
        species | VARCHAR | The species; empty for all.
        note | VARCHAR | One sentence.
    """),
)
HOLDBACKS = FindingsTable(
    "holdbacks",
    "Young to keep",
    "Live young not yet of breeding age: which bring a goal nearer, and what the rest may be called and fetch.",
    _columns("""
        species | VARCHAR | The species.
        animal | VARCHAR | The animal; empty for young without a row of their own.
        pairing | VARCHAR | The pairing it hatched in.
        sex | VARCHAR | M or F.
        count | INTEGER | How many such young.
        keep | VARCHAR | keep, or may go.
        goal | VARCHAR | The goal it brings nearest.
        nearness | DOUBLE | How near it is to that goal: half the share of its genes, half the share of the copies needed, as expected (0..1).
        best_here | DOUBLE | The nearest grown animal of its sex, by the same measure.
        label | VARCHAR | What may honestly be claimed of it.
        price | DOUBLE | Today's price of one such animal; empty where none is known.
        price_low | DOUBLE | Lower end of the range that four in five such prices keep to.
        price_high | DOUBLE | Upper end of that range.
        currency | VARCHAR | The currency.
        why | VARCHAR | Why to keep it, or why it may go.
    """),
)

FINDINGS: tuple[FindingsTable, ...] = (
    PROBLEMS,
    RATIO_TESTS,
    RATIO_CLASSES,
    RATIO_RESOLUTIONS,
    RATIO_PARTS,
    HETEROGENEITY,
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
    HOLDBACKS,
)


def findings_table(name: str) -> FindingsTable:
    """The findings table of that name; KeyError where there is none."""
    for table in FINDINGS:
        if table.name == name:
            return table
    raise KeyError(f"no findings table named {name}")
