-- Young that were looked at, pooled by pairing, clutch, sex and what was written.
-- A young animal with a label of its own counts by that label, and once it is grown by that label alone: then genes
-- that show late count too, and what could not be read at birth no longer matters. Grown: at $as_of at least the
-- species' breeding age for its sex, 24 months where the book gives none. A bare year of birth counts from its last day.
WITH young AS (
    SELECT
        hatch.pairing,
        coalesce(hatch.clutch, 1) AS clutch,
        coalesce(animal.sex, hatch.sex) AS sex,
        coalesce(animal.genes, hatch.genes) AS genes,
        hatch.unreadable,
        coalesce(hatch.count, 1) AS young,
        animal.genes IS NOT NULL AS labelled,
        coalesce(
            animal.born, hatch.date, make_date(coalesce(animal.born_year, hatch.date_year, pairing.season)::BIGINT, 12, 31)
        ) AS born,
        CASE coalesce(animal.sex, hatch.sex)
            WHEN 'F' THEN species.female_breeding_age
            WHEN 'M' THEN species.male_breeding_age
        END AS breeding_age
    FROM records.hatch_results AS hatch
    JOIN records.pairings AS pairing ON pairing.book = hatch.book AND pairing.pairing = hatch.pairing
    LEFT JOIN records.animals AS animal ON animal.book = hatch.book AND animal.id = hatch.animal
    LEFT JOIN records.species AS species ON species.book = animal.book AND species.species = animal.species
    WHERE hatch.book = $book AND coalesce(hatch.outcome, 'live') <> 'slug'
),
read AS (
    SELECT
        *,
        labelled AND born + to_months(ceil(coalesce(breeding_age, 24))::INTEGER) <= $as_of::DATE AS grown
    FROM young
    WHERE genes IS NOT NULL
)
SELECT pairing, clutch, sex, genes, CASE WHEN NOT grown THEN unreadable END AS unreadable, grown, sum(young)::BIGINT AS young
FROM read
GROUP BY ALL
HAVING sum(young) > 0
ORDER BY ALL NULLS FIRST
