-- Where the records behind an answer stand. A locus, by whose name its alleles are tested together, stands where they do.
-- Prices go by their label in one spelling, which findings.price_points has. From 'season' on each kind is the rows that a
-- sum adds up.
WITH mated AS (
    SELECT pairing.*, dam.species
    FROM records.pairings AS pairing
    LEFT JOIN records.animals AS dam ON dam.book = pairing.book AND dam.id = pairing.dam
    WHERE pairing.book = $book
),
hatched AS (
    SELECT hatch.*, mated.season, mated.dam, mated.sire, mated.species
    FROM records.hatch_results AS hatch
    LEFT JOIN mated ON mated.pairing = hatch.pairing
    WHERE hatch.book = $book
),
offered AS (
    SELECT point.species, point.morph, point.currency, advert.sheet, advert."row"
    FROM findings.price_points AS point
    JOIN records.prices AS advert ON advert.book = point.book AND advert."row" = point."row"
    WHERE point.book = $book
),
named AS (
    SELECT 'animal' AS kind, species, id, sheet, "row" FROM records.animals WHERE book = $book
    UNION ALL
    SELECT 'gene', species, unnest([gene, locus]), sheet, "row" FROM records.genes WHERE book = $book
    UNION ALL
    SELECT 'goal', NULL, goal, sheet, "row" FROM records.goals WHERE book = $book
    UNION ALL
    SELECT 'weights', animal.species, weighed.animal, weighed.sheet, weighed."row"
    FROM records.weights AS weighed
    LEFT JOIN records.animals AS animal ON animal.book = weighed.book AND animal.id = weighed.animal
    WHERE weighed.book = $book
    UNION ALL
    SELECT 'pairing', species, pairing, sheet, "row" FROM mated
    UNION ALL
    SELECT unnest(['young', 'hatched', 'offspring', 'offspring']), species, unnest([pairing, animal, dam, sire]), sheet, "row"
    FROM hatched
    UNION ALL
    SELECT 'price', species, morph, sheet, "row" FROM offered
    UNION ALL
    SELECT 'season', species, season::VARCHAR, sheet, "row" FROM mated WHERE species IS NOT NULL
    UNION ALL
    SELECT 'season', species, season::VARCHAR, sheet, "row" FROM hatched WHERE species IS NOT NULL
    UNION ALL
    SELECT 'parents', mated.species, mated.season::VARCHAR, parent.sheet, parent."row"
    FROM mated
    JOIN records.animals AS parent ON parent.book = mated.book AND parent.id IN (mated.dam, mated.sire)
    WHERE mated.pairing IN (SELECT pairing FROM hatched WHERE coalesce(outcome, 'live') = 'live')
    UNION ALL
    SELECT 'sexed', hatched.species, hatched.species,
        unnest([hatched.sheet, animal.sheet]),
        unnest([hatched."row", animal."row"])
    FROM hatched
    LEFT JOIN records.animals AS animal ON animal.book = hatched.book AND animal.id = hatched.animal AND animal.sex IS NOT NULL
    WHERE coalesce(animal.sex, hatched.sex) IS NOT NULL AND coalesce(hatched.outcome, 'live') <> 'slug'
    UNION ALL
    SELECT 'crosses', hatched.species, test.gene, hatched.sheet, hatched."row"
    FROM findings.ratio_tests AS test
    JOIN hatched ON hatched.pairing = test.pairing
    WHERE test.book = $book AND test.scope = 'pairing'
    UNION ALL
    SELECT 'market', species, currency, sheet, "row" FROM offered
    UNION ALL
    SELECT 'book', NULL, book, sheet, "row" FROM records.animals WHERE book = $book
    UNION ALL
    SELECT 'book', NULL, book, sheet, "row" FROM mated
    UNION ALL
    SELECT 'book', NULL, book, sheet, "row" FROM hatched
)
SELECT
    kind,
    species,
    id,
    sheet,
    min("row") AS first_row,
    max("row") AS last_row,
    count(DISTINCT "row") AS records
FROM named
WHERE id IS NOT NULL AND sheet IS NOT NULL
GROUP BY kind, species, id, sheet
ORDER BY kind, species, id, sheet
