"""Cell notes (the comments of a cell) in boxes that fit their text."""

from openpyxl.comments import Comment

AUTHOR = "proveout"
WIDTH = 280
"""Of a note's box, in pixels."""
_CHARACTERS, _LINE, _MARGIN = 38, 18, 24


def note(text: str) -> Comment:
    """A note with that text; the box is 280 pixels wide and as high as the wrapped text needs."""
    return Comment(text, AUTHOR, width=WIDTH, height=height(text))


def height(text: str) -> int:
    """How many pixels high a note's box must be for its wrapped text."""
    lines = sum(-(-max(1, len(line)) // _CHARACTERS) for line in text.split("\n"))
    return _MARGIN + _LINE * lines


def extended_text(old: str, text: str) -> str:
    """The old text with `text` below it; said once, however often it is asked."""
    if not old:
        return text
    return old if text in old else f"{old}\n\n{text}"
