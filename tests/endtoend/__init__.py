"""The whole path, Excel file to findings, as a keeper runs it."""
