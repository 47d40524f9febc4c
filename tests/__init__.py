"""Checks of proveout; run with pytest."""

from pipeline.resources import settle

settle()  # as the command line does, before numpy is imported
