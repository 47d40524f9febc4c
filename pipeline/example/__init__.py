"""The invented demo collection, written by a seeded generator."""
