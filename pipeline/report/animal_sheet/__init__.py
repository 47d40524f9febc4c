"""The animal sheet: one page to print for one animal. Says what the findings say, computes nothing."""

from pipeline.report.animal_sheet.files import refuse_foreign, sheet_path, write_sheet
from pipeline.report.animal_sheet.page import sheet_html

__all__ = ["refuse_foreign", "sheet_html", "sheet_path", "write_sheet"]
