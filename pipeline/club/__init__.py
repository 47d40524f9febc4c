"""Many books in one run: told apart by name, read and answered side by side, one keeper's trouble kept to himself.

naming      what each book is called
processes   work done in several processes, its results in order
reading     each book read, checked and put by
linking     which books share animals, and which clash about a gene
Which book an answer speaks of stands in its column `book`; what linked books share is in pipeline/workbook/pooling.
"""
