"""proveout: a breeder's workbook in, a season report out."""

__version__ = "0.1.0"
STOPPED = "proveout: stopped; earlier results are as they were."
"""What is said of Ctrl+C, whenever it is pressed; the exit code is 130."""
