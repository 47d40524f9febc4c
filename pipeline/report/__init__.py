"""What a keeper reads: the page, the findings workbook. Says what the tables say, computes nothing."""
