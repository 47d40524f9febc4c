-- The seasons of all books.
SELECT DISTINCT season FROM findings.season_summary WHERE season IS NOT NULL ORDER BY season
