-- Pairings, clutches and young of each season and species. A pairing without results counts as a pairing.
WITH results AS (
    SELECT
        pairing.season,
        dam.species,
        pairing.pairing,
        CASE WHEN hatch.pairing IS NOT NULL THEN coalesce(hatch.clutch, 1) END AS clutch,
        coalesce(hatch.outcome, 'live') AS outcome,
        CASE WHEN hatch.pairing IS NOT NULL THEN coalesce(hatch.count, 1) ELSE 0 END AS young
    FROM records.pairings AS pairing
    JOIN records.animals AS dam ON dam.book = pairing.book AND dam.id = pairing.dam
    LEFT JOIN records.hatch_results AS hatch ON hatch.book = pairing.book AND hatch.pairing = pairing.pairing
    WHERE pairing.book = $book
)
SELECT
    season,
    species,
    count(DISTINCT pairing) AS pairings,
    count(DISTINCT CASE WHEN clutch IS NOT NULL THEN (pairing, clutch) END) AS clutches,
    sum(young)::BIGINT AS eggs_or_young,
    coalesce(sum(young) FILTER (outcome = 'live'), 0)::BIGINT AS live,
    coalesce(sum(young) FILTER (outcome = 'stillborn'), 0)::BIGINT AS stillborn,
    coalesce(sum(young) FILTER (outcome = 'died in egg'), 0)::BIGINT AS died_in_egg,
    coalesce(sum(young) FILTER (outcome = 'slug'), 0)::BIGINT AS slugs
FROM results
GROUP BY season, species
ORDER BY season, species
