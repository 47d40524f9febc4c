"""Several books' collections as one, where they share animals, and the way back to each book's own names.

same_genes  which genes of several books are one
joining     the collections as one
view        one book's part of the whole
An animal, pairing or clutch of one book alone is called 'B12 (north.xlsx)'; a shared animal by its ID, where all agree.
"""

from pipeline.genetics.joined.joining import Joined, book_of, join

__all__ = ["Joined", "book_of", "join"]
