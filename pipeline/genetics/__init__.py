"""The ground floor: genes, labels, crosses, pedigrees. Pure Python and numpy; knows no file and no table."""
