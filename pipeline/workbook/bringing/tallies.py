"""A litter told in one cell, '5 Albino, 4 Hypo, 9 normal': as many kinds of young as it counts."""

import re
from dataclasses import dataclass

_KIND = re.compile(
    r"(?P<many>\d+(?:\.\d+){0,2})\s*[x×]?\s+(?=[^\W\d])(?P<label>.+?)"
    r"\s*(?:$|[,;/+&\n]?\s*(?:\band\b)?\s*(?=\d+(?:\.\d+){0,2}\s*[x×]?\s+[^\W\d]))",
    re.IGNORECASE | re.DOTALL,
)
"""A number, a label, and an end: the text's, or where the next number with a label begins. '66% het' is no such number."""
_SEXES = ("M", "F", "")


@dataclass(frozen=True)
class Kind:
    """Young of a kind: how many, of which sex ('' where none is said), and the label."""

    count: int
    sex: str
    label: str


def kinds_of(text: str, total: int | None = None) -> list[Kind]:
    """The kinds that a text counts; none where it is no tally, or where it counts other than `total` young.

    '1.2 Hypo' is one male and two females, '0.0.3' three unsexed, as the trade writes it.
    """
    found, position = [], 0
    text = text.strip().rstrip(".,;")
    while position < len(text):
        kind = _KIND.match(text, position)
        if kind is None:
            return []
        found += _sexed(kind["many"], kind["label"])
        position = kind.end()
    counted = sum(kind.count for kind in found)
    return found if counted and total in (None, counted) else []


def _sexed(many: str, label: str) -> list[Kind]:
    if "." not in many:
        return [Kind(int(many), "", label)] if int(many) else []
    counts = zip(map(int, many.split(".")), _SEXES, strict=False)
    return [Kind(count, sex, label) for count, sex in counts if count]
