"""The findings tables of the way to the goals (use store/tables.py, which names them all)."""

from pipeline.store.findings_table import FindingsTable, columns

GOAL_ROUTES = FindingsTable(
    "goal_routes",
    "The way to the goals, step by step",
    "The quickest way from today's animals to each goal over generations: whom to pair, which young to keep, and the odds.",
    columns("""
        goal | VARCHAR | The goal.
        species | VARCHAR | The species.
        route | INTEGER | 1: the quickest way; 2: the best one found that keeps within the inbreeding limit, where 1 does not.
        step | INTEGER | The step; the last one brings the goal.
        season | INTEGER | The season in which the pair is first put together, in the middle of all courses the way can take.
        dam | VARCHAR | The dam: an animal of the book, or the young of an earlier step.
        sire | VARCHAR | The sire, likewise.
        keep_label | VARCHAR | The label of the young to keep, as the trade writes it.
        keep_sex | VARCHAR | F or M; empty where either will do.
        probability_one | DOUBLE | Probability that one young has that label and sex.
        right_share | DOUBLE | Of young with that label, the share that has what the way needs; 1 where the label is sure.
        young_for_95 | INTEGER | Young after which one with that label and sex was had with 95 %, gambles taken as won; empty beyond 2,000.
        probability_by_litter | DOUBLE | Probability that a typical litter holds one with that label and sex.
        litters | DOUBLE | Litters it takes on average until the young kept is right, as the search for the way reckons them.
        born | INTEGER | The season in which the right young is there, in the middle of all courses.
        ready | INTEGER | The season from which it can be paired; empty at the goal itself.
        f_young | DOUBLE | Inbreeding of the young (0..1).
        note | VARCHAR | What to mind, in plain words.
    """),
)
GOAL_OUTLOOK = FindingsTable(
    "goal_outlook",
    "The way to the goals",
    "How long each way takes, with the range that chance leaves, and whether it works out at all.",
    columns("""
        goal | VARCHAR | The goal.
        species | VARCHAR | The species.
        label | VARCHAR | What the goal's animal looks like.
        route | INTEGER | 1 or 2, see the steps.
        way | VARCHAR | quickest, or within the inbreeding limit.
        steps | INTEGER | Young to be bred on the way, the goal's animal included.
        season | INTEGER | The season in which the goal is born, in the middle of all courses that get there.
        years | DOUBLE | Years from the day of the analysis until then.
        years_low | DOUBLE | Of the courses that get there, one in ten is as quick as this or quicker.
        years_high | DOUBLE | Nine in ten of them are as quick as this or quicker; p_ever tells how many get there.
        p_ever | DOUBLE | Probability that the way leads there at all: the animals on it carry what they have to.
        wanted_by | INTEGER | The year by which the book wants it.
        p_by_wanted | DOUBLE | Probability of a birth by the end of that year.
        f_most | DOUBLE | The highest inbreeding of any young on the way (0..1).
        note | VARCHAR | What to mind, in plain words.
    """),
)
GOAL_NOTES = FindingsTable(
    "goal_notes",
    "About the goals",
    "Goals there is no way to, goals that are there already, and what the ways take for granted.",
    columns("""
        goal | VARCHAR | The goal; empty for all of the species.
        species | VARCHAR | The species.
        kind | VARCHAR | owned, out of reach, caution, or taken for granted.
        note | VARCHAR | One sentence or two.
    """),
)
