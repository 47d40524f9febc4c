-- Where the records behind an answer stand. A locus, by whose name its alleles are tested together, stands where they do.
-- Prices go by their label in one spelling, which findings.price_points has.
WITH named AS (
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
    SELECT 'pairing', dam.species, pairing.pairing, pairing.sheet, pairing."row"
    FROM records.pairings AS pairing
    LEFT JOIN records.animals AS dam ON dam.book = pairing.book AND dam.id = pairing.dam
    WHERE pairing.book = $book
    UNION ALL
    SELECT unnest(['young', 'hatched']), dam.species, unnest([hatch.pairing, hatch.animal]), hatch.sheet, hatch."row"
    FROM records.hatch_results AS hatch
    LEFT JOIN records.pairings AS pairing ON pairing.book = hatch.book AND pairing.pairing = hatch.pairing
    LEFT JOIN records.animals AS dam ON dam.book = pairing.book AND dam.id = pairing.dam
    WHERE hatch.book = $book
    UNION ALL
    SELECT 'price', point.species, point.morph, advert.sheet, advert."row"
    FROM findings.price_points AS point
    JOIN records.prices AS advert ON advert.book = point.book AND advert."row" = point."row"
    WHERE point.book = $book
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
WHERE id IS NOT NULL
GROUP BY kind, species, id, sheet
ORDER BY kind, species, id, sheet
