"""Checks of proveout; run with pytest."""
