"""The findings tables of growth and readiness (use store/tables.py, which names them all)."""

from pipeline.store.findings_table import FindingsTable, columns

GROWTH = FindingsTable(
    "growth",
    "Growth and readiness",
    "Each animal's growth curve and when it is ready to breed by weight, age and rest.",
    columns("""
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
    columns("""
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
    columns("""
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
    columns("""
        animal | VARCHAR | The animal.
        date | DATE | The day of the weighing.
        kind | VARCHAR | likely slip, weight lost, no gain, not weighed, or ill.
        message | VARCHAR | What was seen, and what to do.
    """),
)
