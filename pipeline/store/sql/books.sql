-- Each book of the run in the order in which it was saved: what it holds, and what was found in it.
WITH seen AS (
    SELECT book, min(rowid) AS place, true AS answered FROM findings.runs GROUP BY book
    UNION ALL
    SELECT book, min(rowid) + 1000000000 AS place, false FROM findings.problems
    WHERE book NOT IN (SELECT book FROM findings.runs)
    GROUP BY book
),
held AS (
    SELECT book, sum(pairings) AS pairings, sum(clutches) AS clutches, sum(eggs_or_young) AS young
    FROM findings.season_summary
    GROUP BY book
),
departed AS (
    SELECT book, count(DISTINCT pairing) AS departures
    FROM findings.ratio_tests
    WHERE scope = 'pairing' AND verdict IN ('departs', 'impossible')
    GROUP BY book
),
told AS (
    SELECT book, count(*) FILTER (severity = 'error') AS errors, count(*) FILTER (severity = 'warning') AS warnings
    FROM findings.problems
    GROUP BY book
)
SELECT
    seen.book,
    seen.answered,
    (SELECT count(*) FROM records.animals AS animal WHERE animal.book = seen.book) AS animals,
    coalesce(held.pairings, 0)::BIGINT AS pairings,
    coalesce(held.clutches, 0)::BIGINT AS clutches,
    coalesce(held.young, 0)::BIGINT AS young,
    (SELECT count(*) FROM findings.suspicions AS suspicion WHERE suspicion.book = seen.book) AS suspicions,
    coalesce(departed.departures, 0) AS departures,
    coalesce(told.errors, 0) AS errors,
    coalesce(told.warnings, 0) AS warnings,
    (SELECT count(DISTINCT animal) FROM findings.shared_animals AS shared WHERE shared.book = seen.book) AS shared
FROM seen
LEFT JOIN held ON held.book = seen.book
LEFT JOIN departed ON departed.book = seen.book
LEFT JOIN told ON told.book = seen.book
ORDER BY seen.place
