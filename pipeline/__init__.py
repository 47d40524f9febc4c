"""proveout: a breeder's workbook in, a season report out."""

__version__ = "0.1.0"
