"""One module a question: tables in, tables out; each can be run and tested alone."""
