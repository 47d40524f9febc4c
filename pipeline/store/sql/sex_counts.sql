-- Sexed young by clutch, pairing and species. The sex of an animal with a record of its own is that of the record.
WITH young AS (
    SELECT
        dam.species,
        hatch.pairing,
        coalesce(hatch.clutch, 1) AS clutch,
        coalesce(animal.sex, hatch.sex) AS sex,
        coalesce(hatch.count, 1) AS young
    FROM records.hatch_results AS hatch
    JOIN records.pairings AS pairing ON pairing.book = hatch.book AND pairing.pairing = hatch.pairing
    JOIN records.animals AS dam ON dam.book = pairing.book AND dam.id = pairing.dam
    LEFT JOIN records.animals AS animal ON animal.book = hatch.book AND animal.id = hatch.animal
    WHERE hatch.book = $book AND coalesce(hatch.outcome, 'live') <> 'slug'
)
SELECT
    species,
    CASE WHEN grouping(pairing) = 1 THEN 'species' WHEN grouping(clutch) = 1 THEN 'pairing' ELSE 'clutch' END AS scope,
    pairing,
    clutch,
    coalesce(sum(young) FILTER (sex = 'M'), 0)::BIGINT AS males,
    coalesce(sum(young) FILTER (sex = 'F'), 0)::BIGINT AS females
FROM young
WHERE sex IS NOT NULL
GROUP BY GROUPING SETS ((species, pairing, clutch), (species, pairing), (species))
HAVING sum(young) > 0
ORDER BY species, scope, pairing, clutch
