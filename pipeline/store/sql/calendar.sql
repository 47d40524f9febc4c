-- When each pairing's young are due, when they came, and from when the dam has rested.
-- Rest runs from the laying of eggs, or from the birth of live young (the day due until they come). Only full dates.
WITH came AS (
    SELECT pairing, min(date) AS first_on, max(date) AS last_on
    FROM records.hatch_results
    WHERE book = $book AND date IS NOT NULL
    GROUP BY pairing
),
dated AS (
    SELECT
        dam.species,
        pairing.season,
        pairing.pairing,
        pairing.dam,
        pairing.ovulated_or_laid + round(species.days_to_young)::INTEGER AS due_on,
        came.first_on AS born_on,
        CASE
            WHEN species.young = 'eggs' THEN coalesce(
                greatest(pairing.ovulated_or_laid, came.last_on - round(species.days_to_young)::INTEGER), came.last_on
            )
            ELSE coalesce(came.last_on, pairing.ovulated_or_laid + round(species.days_to_young)::INTEGER)
        END AS litter_on,
        species.rest_between_litters AS rest
    FROM records.pairings AS pairing
    JOIN records.animals AS dam ON dam.book = pairing.book AND dam.id = pairing.dam
    LEFT JOIN records.species AS species ON species.book = dam.book AND species.species = dam.species
    LEFT JOIN came ON came.pairing = pairing.pairing
    WHERE pairing.book = $book
)
SELECT
    species,
    season,
    pairing,
    dam,
    due_on,
    born_on,
    CAST(litter_on + to_months(ceil(rest)::INTEGER) AS DATE) AS rested_on
FROM dated
WHERE coalesce(due_on, born_on, litter_on) IS NOT NULL
ORDER BY season, pairing
