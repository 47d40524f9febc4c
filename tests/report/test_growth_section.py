"""The section on growth: what its first sentences say of readiness."""

import pandas as pd
import pytest

from pipeline.report.context import Context, complete
from pipeline.report.sections.growth import growth
from tests.report.invented import BOOK, HEAD, findings


@pytest.mark.parametrize(
    ("chance", "said"),
    [(0.1, "No animal is likely to be ready"), (None, "When animals are ready can't be told yet")],
)
def test_growth__silence_about_readiness_is_no_refusal(chance, said):
    rows = pd.DataFrame([{"animal": "B1", "p_ready": chance, "blocked_by": "weight"}]).assign(book=BOOK)
    part = growth(Context(complete(findings(animals=1) | {"growth": rows}), HEAD))
    assert [line.text.startswith(said) for line in part.highlights if "ready" in line.text] == [True]
