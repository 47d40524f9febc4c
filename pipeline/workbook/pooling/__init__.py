"""Several books as one: animals that keepers record in common, and genes that mean the same in all of them.

offer      what one book tells the others: its genes, and the animals it marks as shared
genes      what two books say otherwise of one gene
spellings  which genes of two books may be one under two spellings
sharing    which animals are one, and where their records clash
Books that share nothing never meet here: their IDs are their own. Linked ones become one collection in genetics/joined.
"""
