"""Checks of the ground floor, with the catalogues they share (catalogues.py)."""
