"""One cell's value, as a keeper may have typed it: numbers with units, percentages, money, IDs, text.

Each parser takes what the file holds (text, number, date, truth value; never None) and returns the plain value, None
where the cell as good as blank, or raises CellFault. Nothing is guessed: what can be read in two ways is a fault that
names both. Dates are in dates.py, lists of allowed words in words.py.
"""

import re
from datetime import date, datetime, time, timedelta
from math import isfinite

BLANKS = frozenset({"", "-", "--", "–", "—", "?", "n/a", "na", "unknown", "not known", "none"})
"""What keepers type where they know nothing; in a column that is no free text it stands for a blank cell."""

EXCEL_ERRORS = frozenset(
    {
        "#NULL!",
        "#DIV/0!",
        "#VALUE!",
        "#REF!",
        "#NAME?",
        "#NUM!",
        "#N/A",
        "#GETTING_DATA",
        "#SPILL!",
        "#CALC!",
        "#FIELD!",
        "#BLOCKED!",
        "#UNKNOWN!",
        "#BUSY!",
        "#CONNECT!",
    }
)

GRAM = {"g": 1.0, "kg": 1000.0, "mg": 0.001, "lb": 453.59237, "oz": 28.349523125}
CENTIMETRE = {"cm": 1.0, "mm": 0.1, "m": 100.0, "in": 2.54, "ft": 30.48}
"""Pound, ounce, inch and foot by the international agreement of 1959, exact."""
MONTH = {"months": 1.0, "years": 12.0}
UNITS = {"g": GRAM, "cm": CENTIMETRE, "months": MONTH}

_SPELLED = {
    "g": "g gr gm gms gram grams gramme grammes", "kg": "kg kgs kilo kilos kilogram kilograms", "mg": "mg milligram milligrams",
    "lb": "lb lbs pound pounds", "oz": "oz ozs ounce ounces", "cm": "cm cms centimetre centimetres centimeter centimeters",
    "mm": "mm millimetre millimetres millimeter millimeters", "m": "m metre metres meter meters",
    "in": 'in ins inch inches " ″ ”', "ft": "ft feet foot ' ′ ’", "months": "month months mo mos mth mths", "years": "year years yr yrs y",
}  # fmt: skip
_UNIT_OF = {word: unit for unit, words in _SPELLED.items() for word in words.split()}
_COMPOUND = (("lb", "oz"), ("ft", "in"), ("years", "months"))
_COARSE = frozenset({"kg", "lb", "m", "ft", "years"})
_AMOUNT = r"[+-]?[\d.,]+(?:[' ][\d.,]+)*"
_SPACED = re.compile(r"[1-9]\d{0,2}(?:[ ']\d{3})+(?:[.,]\d+)?")
_LONGEST = 40
LARGEST_WHOLE = 1_000_000_000
"""No record counts as far; and a table's whole numbers go little farther."""
_WITH_UNIT = re.compile(rf"({_AMOUNT})\s*([^\d\s.,+-][^\d+-]*)?")
_TWO_PARTS = re.compile(rf"({_AMOUNT})\s*([^\d\s.,+-][^\d]*?)\s*({_AMOUNT})\s*([^\d\s]+)")
_WRITTEN = r"[^\x00-\u058f\u2000-\u206f\u3000\ufeff]"
"""Letters of the scripts in which joiners shape a word, and pictures, of which joiners make one."""
_STRAY = rf"(?<!{_WRITTEN})[\u200c\u200d]|[\u200c\u200d](?!{_WRITTEN})"
_SPACES = re.compile(rf"(?:[\s\u00a0\u2000-\u200b\u202f\u205f\u2060\u3000\ufeff]|{_STRAY})+")


class CellFault(ValueError):
    """What is wrong with a cell: `message` completes "Weight '12x' …", `hint` is the remedy."""

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint


def tidy(text: str) -> str:
    """The text without stray, doubled, no-break and invisible spaces; joiners within a picture or a word stay."""
    if text.isalnum():
        return text
    return " ".join(text.split()) if text.isascii() else _SPACES.sub(" ", text).strip()


def shown(value: object) -> str:
    """The value as the keeper sees it, cut at 60 characters."""
    if isinstance(value, datetime):
        value = value.date() if value.time() == time() else value.replace(microsecond=0)
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    text = tidy(str(value))
    return text if len(text) <= 60 else text[:57] + "…"


def text(value: object) -> str | None:
    """Any value as text: 12.0 as '12', a date as ISO text; None for spaces alone. CellFault for an Excel error."""
    if isinstance(value, str):
        words = tidy(value)
        if words.startswith("#") and words.upper() in EXCEL_ERRORS:
            raise CellFault("is an error of Excel's", "Mend the formula, or type the value over it.")
        return words or None
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() else repr(value)
    if isinstance(value, (datetime, date, time, timedelta)):
        return shown(value)
    return str(value)


def remark(value: object) -> str | None:
    """Text that may be left out: a dash, a question mark or the like stands for a blank."""
    words = text(value)
    return None if words is None or words.lower() in BLANKS else words


def label(value: object) -> str | None:
    """A label: a dash or a question mark says that nobody looked. 'none' stays, since it may be meant as 'normal'."""
    words = text(value)
    return None if words is None or words.lower() in BLANKS - {"none"} else words


def identifier(value: object) -> str | None:
    """An ID: 12, 12.0 and '12' are one; leading zeros of a text stay. CellFault for a date."""
    if isinstance(value, (datetime, date, time, timedelta)):
        raise CellFault(
            "is a date, which Excel makes of an ID such as 3-24",
            "Format the column as text and type the ID again.",
        )
    return remark(value)


def names(value: object) -> str | None:
    """Names or IDs in one cell, separated by semicolons (or, where there is none, commas or lines): 'A; B'."""
    if isinstance(value, str):
        separator = ";" if ";" in value else "," if "," in value else "\n"
        parts = [identifier(part) for part in value.split(separator)]
        return "; ".join(dict.fromkeys(part for part in parts if part)) or None
    return identifier(value)


def number(value: object, unit: str = "", header_unit: str = "") -> float | None:
    """A number in the column's unit ('g', 'cm', 'months' or none).

    A number without a unit is in `header_unit` where the header names one. '1.2 kg', '850g', '2 lb 3 oz' and '5 ft 3 in'
    are converted. A comma or dot before exactly three digits is read by the unit (1,250 g; 1.250 kg) or is a fault.
    """
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        if not isfinite(value):
            raise CellFault("is no number", _number_hint(unit))
        return float(value) * _factor(header_unit, unit)
    words = _numeric_text(value)
    if words is None:
        return None
    if unit and (two := _TWO_PARTS.fullmatch(words)):
        return _two_parts(two, unit)
    parts = _WITH_UNIT.fullmatch(words)
    if parts is None:
        raise CellFault("is not one plain number", _number_hint(unit))
    written = _unit(parts[2], unit) if parts[2] else header_unit or unit
    return amount(parts[1], written) * _factor(written, unit)


def whole(value: object) -> int | None:
    """A whole number; 3, 3.0, '3' and '3.0' are one."""
    found = number(value)
    if found is None:
        return None
    if abs(found) > LARGEST_WHOLE:
        raise CellFault("is larger than any count", "Check the number.")
    if not found.is_integer():
        raise CellFault("is not a whole number", f"Write {int(found // 1)} or {int(found // 1) + 1}.")
    return int(found)


def percentage(value: object) -> float | None:
    """A percentage as a plain number: 5, '5', '5 %' and '5%' are 5."""
    if isinstance(value, str) and (words := tidy(value)).endswith("%"):
        return number(words[:-1].rstrip())
    return number(value)


def unit_of_header(words: str, unit: str) -> str:
    """The unit a header names in brackets; CellFault where it can't be converted to the column's."""
    return _unit(words, unit) if words and unit in UNITS else ""


def amount(words: str, unit: str = "") -> float:
    """Digits with decimal and thousands marks as a number; CellFault where they can be read in two ways."""
    sign = -1.0 if words.startswith("-") else 1.0
    digits = words.lstrip("+-").strip()
    if _SPACED.fullmatch(digits):
        return sign * float(re.sub("[ ']", "", digits).replace(",", "."))
    marks = [mark for mark in digits if mark in ".,"]
    if " " in digits or "'" in digits or not re.search("[0-9]", digits):
        raise CellFault("is not one plain number", _number_hint(unit))
    if not marks:
        return sign * float(digits)
    if len(set(marks)) == 2:
        thousands, decimal = (",", ".") if digits.rfind(".") > digits.rfind(",") else (".", ",")
        return sign * _grouped(digits, thousands, decimal)
    (mark,) = set(marks)
    if len(marks) > 1:
        return sign * _grouped(digits, mark, "")
    head, _, tail = digits.partition(mark)
    if len(tail) == 3 and re.fullmatch(r"[1-9]\d{0,2}", head):
        return sign * _three_digits(head, mark, tail, unit)
    return sign * float(f"{head or 0}.{tail or 0}")


def _three_digits(head: str, mark: str, tail: str, unit: str) -> float:
    """1,250 or 1.250: thousands, or three decimals? Nobody weighs a snake in tons, nor writes money to three places."""
    if unit in _COARSE:
        return float(f"{head}.{tail}")
    if unit == "money" or (mark == "," and unit in {"g", "mm"}):
        return float(head + tail)
    raise CellFault(
        f"may mean {head}{tail} or {head}.{tail}",
        f"Type {head}{tail} without a mark, or {head}.{tail.rstrip('0') or '0'} as a number.",
    )


def _grouped(digits: str, thousands: str, decimal: str) -> float:
    whole_part, _, fraction = digits.partition(decimal) if decimal else (digits, "", "")
    groups = whole_part.split(thousands)
    if (
        not (1 <= len(groups[0]) <= 3 and all(len(group) == 3 for group in groups[1:]))
        or thousands in fraction
        or (decimal and decimal in fraction)
    ):
        raise CellFault("is not one plain number", _number_hint(""))
    return float(f"{''.join(groups)}.{fraction or 0}")


def _numeric_text(value: object) -> str | None:
    if isinstance(value, bool):
        raise CellFault("is a yes or no, where a number belongs", "Type the number.")
    if isinstance(value, (datetime, date, time, timedelta)):
        raise CellFault(
            "is a date or time, where a number belongs", "Format the cell as a number and type it again."
        )
    words = (text(value) or "").replace("−", "-")
    if len(words) > _LONGEST:
        raise CellFault("is not one plain number", "Type one number; a remark belongs in Notes.")
    return None if words.lower() in BLANKS else words


def _two_parts(parts: re.Match, unit: str) -> float:
    first, second = _unit(parts[2], unit), _unit(parts[4], unit)
    if (first, second) not in _COMPOUND:
        raise CellFault("is not one plain number", _number_hint(unit))
    return amount(parts[1], first) * _factor(first, unit) + amount(parts[3], second) * _factor(second, unit)


def _unit(words: str, unit: str) -> str:
    known = UNITS.get(unit, {})
    spelled = words.strip().rstrip(".").lower()
    found = _UNIT_OF.get(spelled)
    if found not in known:
        if not known:
            raise CellFault(f"has '{words.strip()}' beside the number", "Type the number alone.")
        raise CellFault(f"has '{words.strip()}', which is no unit of this column", f"Use {', '.join(known)}.")
    return found


def _factor(written: str, unit: str) -> float:
    return UNITS[unit][written] if written and unit in UNITS else 1.0


def _number_hint(unit: str) -> str:
    return f"Type one number, in {unit}." if unit in UNITS else "Type one number alone."
