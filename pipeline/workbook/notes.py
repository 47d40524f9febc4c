"""Cell notes (the comments of a cell) in boxes that fit their text."""

from openpyxl.comments import Comment

_AUTHOR = "proveout"
_WIDTH, _CHARACTERS, _LINE, _MARGIN = 280, 38, 18, 24


def note(text: str, author: str = _AUTHOR) -> Comment:
    """A note with that text; the box is 280 pixels wide and as high as the wrapped text needs."""
    lines = sum(-(-max(1, len(line)) // _CHARACTERS) for line in text.split("\n"))
    return Comment(text, author, width=_WIDTH, height=_MARGIN + _LINE * lines)


def extended(old: Comment | None, text: str) -> Comment:
    """The old note with `text` below it, by the old one's author; said once, however often it is asked."""
    if old is None:
        return note(text)
    return note(old.text if text in old.text else f"{old.text}\n\n{text}", old.author)
