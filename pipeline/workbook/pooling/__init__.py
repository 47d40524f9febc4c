"""Several books as one: animals that keepers record in common, and genes that mean the same in all of them.

offer    what one book tells the others: its genes, and the animals it marks as shared
genes    what two books say otherwise of one gene
sharing  which animals are one, and where their records clash
joining  linked books as one collection, and the way back to each book's own names
Books that share nothing never meet here: their IDs are their own.
"""
