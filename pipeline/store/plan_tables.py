"""The findings tables of next season's plan (use store/tables.py, which names them all)."""

from pipeline.store.findings_table import FindingsTable, columns

PAIR_OPTIONS = FindingsTable(
    "pair_options",
    "Pairs that could be",
    "Every male and female of a species that are likely ready for the coming season, and what their young would be; of more than 10,000 of a species (500 where several books were given) the best, and those planned.",
    columns("""
        rank | INTEGER | Place by score within its species.
        species | VARCHAR | The species.
        dam | VARCHAR | The dam.
        sire | VARCHAR | The sire.
        score | DOUBLE | Points in all: those for the goals, the value and what would be told, less those for inbreeding and young lost.
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
    "What the young of the 40 best pairs of each species, and of those planned, may be called, with probabilities.",
    columns("""
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
    columns("""
        season | INTEGER | The coming season, by the year in which it begins.
        species | VARCHAR | The species.
        dam | VARCHAR | The dam.
        sire | VARCHAR | The sire.
        pairing | VARCHAR | The pairing where the book has it already: it is kept as it is.
        score | DOUBLE | Its points.
        young | INTEGER | Young of a typical litter.
        expected_value | DOUBLE | What a typical litter would fetch at today's prices; no promise.
        value_low | DOUBLE | Lower end of its 80 % range.
        value_high | DOUBLE | Upper end of its 80 % range.
        currency | VARCHAR | The currency.
        reason | VARCHAR | Why this pair, and what its dam gives up for it.
        cautions | VARCHAR | What to mind.
    """),
)
SEASON_PLAN_ALTERNATIVES = FindingsTable(
    "season_plan_alternatives",
    "Other plans nearly as good",
    "Plans with one planned pair less, or one left-out pair more, the rest as good as can be; 'within 5 %' have at least 95 % of the points.",
    columns("""
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
    columns("""
        species | VARCHAR | The species; empty for all.
        note | VARCHAR | One sentence.
    """),
)
HOLDBACKS = FindingsTable(
    "holdbacks",
    "Young to keep",
    "Live young not yet of breeding age: which bring a goal nearer, and what the rest may be called and fetch.",
    columns("""
        species | VARCHAR | The species.
        animal | VARCHAR | The animal; empty for young without a row of their own.
        pairing | VARCHAR | The pairing it hatched in.
        sex | VARCHAR | M or F.
        count | INTEGER | How many such young.
        keep | VARCHAR | keep, or may go.
        goal | VARCHAR | The goal it brings nearest.
        nearness | DOUBLE | How near it is to that goal: half the share of its genes, half the share of the copies needed, as expected (0..1).
        best_here | DOUBLE | The nearest grown animal of its sex that is kept, at its likeliest genes.
        label | VARCHAR | What may honestly be claimed of it.
        price | DOUBLE | Today's price of one such animal; empty where none is known.
        price_low | DOUBLE | Lower end of the range that four in five such prices keep to.
        price_high | DOUBLE | Upper end of that range.
        currency | VARCHAR | The currency.
        why | VARCHAR | Why to keep it, or why it may go.
    """),
)
