"""One chart a file: a table in, an Altair chart out; one theme."""
