"""Whom to pair next season: every pair that can be, the best set of them, and which young to keep."""
