"""The keeper's workbook: what sheets it has, reading, checking, marking, and the blank book."""
