"""A litter told in one cell, '5 Albino, 4 Hypo, 9 normal': as many kinds of young as it counts."""

import re
from dataclasses import dataclass
from itertools import pairwise

_MANY = re.compile(
    r"(?<!\d)(?P<many>\d{1,9}(?:\.\d{1,9}){0,2})(?:\s++(?:[x×]\s++)?|[x×]\s++)(?=[^\W\d])", re.IGNORECASE
)
"""A number before a label. '66% het' is no such number. Reading it takes time in proportion to the text, whatever that is."""
_AND = re.compile(r"(?<=.)\band\s+\Z", re.IGNORECASE | re.DOTALL)
_MARKS = ",;/+&"
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
    text = text.strip().rstrip(".,;")
    begun = list(_MANY.finditer(text))
    if not begun or begun[0].start():
        return []
    found = []
    for kind, later in pairwise(begun):
        found += _sexed(kind["many"], _unjoined(text[kind.end() : later.start()]))
    found += _sexed(begun[-1]["many"], text[begun[-1].end() :].rstrip())
    counted = sum(kind.count for kind in found)
    return found if counted and total in (None, counted) else []


def _unjoined(label: str) -> str:
    """A label without what leads on to the next number: a mark, 'and', or both."""
    label = _AND.sub("", label).rstrip()
    return label[:-1].rstrip() if label[1:] and label[-1] in _MARKS else label


def _sexed(many: str, label: str) -> list[Kind]:
    if "." not in many:
        return [Kind(int(many), "", label)] if int(many) else []
    counts = zip(map(int, many.split(".")), _SEXES, strict=False)
    return [Kind(count, sex, label) for count, sex in counts if count]
