"""Labels both ways: the text a breeder writes on the tub, and the statement it makes.

`Super Motley Hypo, het Albino, 66% het Anery` is read word by word: names by the longest match (label_words.py), each
claimed by the words before it (label_reading.py), and the claims of a locus settled together (label_claims.py);
label_writing.py goes the other way. label_counts.py doubts what can be read and is hardly meant.
"""

from pipeline.genetics.label_claims import LabelFault, canonical, percentage
from pipeline.genetics.label_counts import miscounted
from pipeline.genetics.label_reading import LabelError, morph_statement, read_label
from pipeline.genetics.label_words import find_gene
from pipeline.genetics.label_writing import write_label

__all__ = [
    "LabelError",
    "LabelFault",
    "find_gene",
    "canonical",
    "miscounted",
    "morph_statement",
    "percentage",
    "read_label",
    "write_label",
]
