"""The checks of a book, one module a topic; each takes the inspection, adds problems and leaves out what is faulty."""
