"""Drop-downs in the newer shape, which openpyxl does not read: Excel uses it where a list lies on another sheet."""

from collections.abc import Iterator
from xml.etree.ElementTree import Element

from defusedxml.ElementTree import fromstring
from openpyxl.worksheet.datavalidation import DataValidation

from pipeline.workbook.package import Package

_MARK = b"x14:dataValidation"
_X14 = "{http://schemas.microsoft.com/office/spreadsheetml/2009/9/main}"
_XM = "{http://schemas.microsoft.com/office/excel/2006/main}"
_FLAGS = ("allowBlank", "showDropDown", "showInputMessage", "showErrorMessage")
_WORDS = ("type", "operator", "errorStyle", "error", "errorTitle", "prompt", "promptTitle")


def extended_validations(package: Package) -> Iterator[tuple[str, DataValidation]]:
    """Each validation of a sheet's extension list, with the sheet's name, in the shape that openpyxl writes.

    The shape is described in Microsoft's open specification [MS-XLSX], section 2.4.5, CT_DataValidations.
    """
    with package.archive() as archive:
        for sheet in package.sheets:
            content = archive.read(sheet.part)
            if _MARK in content:
                for element in fromstring(content).iter(f"{_X14}dataValidation"):
                    yield sheet.name, _validation(element)


def _validation(element: Element) -> DataValidation:
    words = {name: element.get(name) for name in _WORDS if element.get(name)}
    flags = {name: element.get(name) in ("1", "true") for name in _FLAGS}
    rule = DataValidation(formula1=_formula(element, 1), formula2=_formula(element, 2), **words, **flags)
    for cells in element.findtext(f"{_XM}sqref", "").split():
        rule.add(cells)
    return rule


def _formula(element: Element, number: int) -> str | None:
    return element.findtext(f"{_X14}formula{number}/{_XM}f")
