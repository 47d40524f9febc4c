"""The DuckDB file: records in, findings in, queries out. SQL lives in sql/, one file a query."""
