"""Text of a keeper's book as a page or a terminal can bear it; findings.xlsx has it whole.

A word without end widens a page, a change of writing direction turns the sentence around it, and a control character
moves a terminal's cursor. None of them belongs to what a record says.
"""

import re

LONGEST_WORD, LONGEST_TEXT = 80, 2_000
LONGEST_PATH = 1_000
"""In the words of a terminal, where the way to a file has to be read whole."""
_HEAD, _TAIL = 40, 8
_UNSEEN = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
"""Control characters, line ends and tabs aside, and those that set a writing direction (Unicode standard annex 9)."""
_RIGHT_TO_LEFT = re.compile(
    r"[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufeff](?:[^\x21-\x7e]*[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufeff])?"
)
"""Hebrew, Arabic and their like, from the first such letter to the last before anything else."""
PERCENT = re.compile(r"(?<=\d) (?=%)")
_FIGURE = re.compile(r"(?<=\b[pqn]) (?=(?:[=<].)?\d)|(?<=\b[pqn] [=<]) (?=\d)")
"""Spaces at which a line is not to end: '95 %', 'p 0.03', 'n = 16'."""
_ISOLATE, _POP = "\u2068", "\u2069"


def shortened(text: str, longest_word: int = LONGEST_WORD) -> str:
    """The text without control characters, endless words cut in their middle, an endless text at its end."""
    if len(text) <= longest_word and text.isprintable():
        return text
    endless = rf"\S{{{longest_word},}}[^\s.,:;!?)]"
    text = re.sub(endless, _cut, _UNSEEN.sub("", text))
    return text if len(text) <= LONGEST_TEXT else f"{text[:LONGEST_TEXT]}… ({len(text):,} characters)"


def readable(text: str) -> str:
    """`shortened`, with no line ending within a figure, and what is written from right to left set apart, so that it turns
    nothing around it."""
    text = _FIGURE.sub("\u00a0", PERCENT.sub("\u202f", shortened(text)))
    return text if text.isascii() else _RIGHT_TO_LEFT.sub(rf"{_ISOLATE}\g<0>{_POP}", text)


def _cut(word: re.Match[str]) -> str:
    return f"{word[0][:_HEAD]}…{word[0][-_TAIL:]} ({len(word[0]):,} characters)"
