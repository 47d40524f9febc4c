"""The verdicts of a ratio test: a mark, a colour, and in plain words what each means and what it does not."""

from dataclasses import dataclass

from markupsafe import Markup, escape


@dataclass(frozen=True)
class Verdict:
    """`mark` is a shape that tells verdicts apart without colour; `rank` orders them, worst first."""

    word: str
    mark: str
    rank: int
    means: str
    not_means: str


VERDICTS = (
    Verdict(
        "impossible",
        "✖",
        0,
        "At least one young is of a class that the parents' labels, as recorded, cannot give. Something on record is "
        "wrong: a label, a parent, the reading of a young animal, or what the Genes sheet says of a gene.",
        "It does not say which of them is wrong, and one misread or misplaced young animal is enough to cause it.",
    ),
    Verdict(
        "departs",
        "▲",
        1,
        "The counts are further from the expected ratio than chance explains, even allowing for the number of clutches "
        "tested at once.",
        "It does not name the cause. Chance still does this now and then, and losses before hatching, hard-to-read "
        "young and a second sire do it too. It is no judgement on whoever sold the animal.",
    ),
    Verdict(
        "strained",
        "◆",
        2,
        "Taken alone the counts would be unusual; among so many tests some such counts are to be expected.",
        "It is no finding yet. Nothing should be relabelled on this; the next clutch will tell more.",
    ),
    Verdict(
        "too few",
        "○",
        3,
        "So few young could be read that even the most lopsided outcome would not have been surprising enough.",
        "It is not a fit: the labels have simply not been put to the test.",
    ),
    Verdict(
        "fits",
        "●",
        4,
        "What hatched agrees with what the labels say, give or take chance.",
        "It does not prove the labels: other labels may fit as well, and a gene that was never put to the test in this "
        "cross was not tested.",
    ),
)
STANDS_OUT = ("impossible", "departs")
_BY_WORD = {verdict.word: verdict for verdict in VERDICTS}


def verdict(word: str) -> Verdict:
    """The verdict of that word; KeyError where there is none."""
    return _BY_WORD[word]


def verdict_id(word: str) -> str:
    """The id of a verdict's explanation on the page."""
    return f"verdict-{word.replace(' ', '-')}"


def verdict_mark(word: str) -> Markup:
    """The verdict as the page writes it: mark, word, and a link to what it means. An unknown word stays plain."""
    known = _BY_WORD.get(word)
    if known is None:
        return escape(word)
    name = verdict_id(word)
    return Markup(
        f'<a class="verdict {name}" href="#{name}"><span aria-hidden="true">{known.mark}</span> {word}</a>'
    )
