"""What the page says of the last run: one line, or a list with one sentence at the top."""

import pandas as pd

from pipeline.report.context import Context, complete
from pipeline.report.sections.changes import changes
from tests.report.invented import BOOK, HEAD


def part(rows=(), since=None):
    listed = [{"book": BOOK, "kind": kind, "what": what, "subject": subject} for kind, what, subject in rows]
    runs = pd.DataFrame(
        [{"book": BOOK, "as_of": pd.Timestamp(HEAD.as_of), "compared_with": pd.Timestamp(since)}]
    )
    return changes(Context(complete({"runs": runs, "changes": pd.DataFrame(listed)}), HEAD))


def test_changes__a_first_run_says_so_in_one_line():
    first = part()
    assert first.values["said"].startswith("This is the first run in this folder") and not first.highlights


def test_changes__nothing_changed_is_said_with_the_day():
    same = part(since="2026-04-01")
    assert same.values["said"].endswith("changed since the run as of 1 April 2026.") and not same.highlights


def test_changes__are_counted_by_kind_in_one_sentence():
    rows = [
        ("price", "turned", "Amel"),
        ("suspicion", "new", "C1"),
        ("suspicion", "new", "C2"),
        ("suspicion", "gone", "C3"),
    ]
    found = part(rows, since="2026-04-01")
    (one,) = found.highlights
    assert one.text == "Since the run as of 1 April 2026: 2 suspicions new, 1 gone and 1 price trend turned."
    assert [texts[0] for texts in found.values["table"].texts] == ["suspicion"] * 3 + ["price"]
