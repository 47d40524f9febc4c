"""Measurements; each is a command of its own and a test marked `benchmark`."""
