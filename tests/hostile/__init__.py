"""Books made to exhaust, to mislead or to break in."""
