"""Bringing an existing list into a book of ours: grids · tabs · matching · records · found genes · the new book.

`bring.py` is the front door. The old list is only read; whatever finds no column goes to Notes and to 'Left over'.
"""
