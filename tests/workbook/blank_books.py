"""Books as the template writes them: what to fill one with, and the rule over a cell."""

from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

TWO_SPECIES = {
    "Genes": [
        {"Species": "Corn snake", "Gene": "Amel", "Inheritance": "recessive"},
        {"Species": "Common boa", "Gene": "Motley", "Inheritance": "incomplete dominant"},
        {},
        {"Species": "Corn snake", "Gene": "Anery", "Inheritance": "recessive"},
    ],
    "Morph names": [{"Species": "Corn snake", "Name": "Snow", "Genes": "Amel Anery"}],
    "Animals": [
        {"ID": "B1", "Species": "Common boa", "Genes": "Motley"},
        {"ID": "C1", "Species": "Corn snake", "Genes": "Snow"},
    ],
    "Pairings": [{"Pairing": "24-03", "Season": 2024, "Dam": "C1", "Sire": "B1"}],
    "Hatch results": [{"Pairing": "24-03", "Genes": "Amel", "Count": 4}],
}


def rule_at(worksheet: Worksheet, cell: str) -> DataValidation | None:
    """The data validation that governs a cell, or None."""
    return next((r for r in worksheet.data_validations.dataValidation if cell in r.sqref), None)
