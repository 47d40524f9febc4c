"""What a stage costs beside a named library, and how its cost grows: seconds of computing, told as ratios."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import log
from time import process_time


@dataclass(frozen=True)
class Row:
    """One stage at one size: seconds of computing of ours and of another library's on the same input, in the same run."""

    stage: str
    size: int
    unit: str
    ours: float
    other: str
    theirs: float

    @property
    def ratio(self) -> float:
        """Their time over ours."""
        return self.theirs / self.ours


def seconds(work: Callable[[], object], times: int = 3) -> float:
    """Processor seconds of this process for a piece of work, the least of a few runs."""
    taken = []
    for _ in range(times):
        start = process_time()
        work()
        taken.append(process_time() - start)
    return max(min(taken), 1e-6)


def exponent(rows: Sequence[Row]) -> float:
    """How our cost grows with the size: the slope of its logarithm, 1 where twice the work costs twice as much."""
    x, y = ([log(row.size) for row in rows], [log(row.ours) for row in rows])
    middle, level = sum(x) / len(x), sum(y) / len(y)
    spread = sum((at - middle) ** 2 for at in x)
    return sum((at - middle) * (value - level) for at, value in zip(x, y, strict=True)) / spread


HEAD = "| stage | sizes | beside | times as fast | growth exponent |\n|---|---|---|---|---|"


def table(rows: Sequence[Row]) -> str:
    """Markdown: a line for each stage and other library, its sizes with the ratio at each, and the exponent."""
    return "\n".join([HEAD, *lines(rows)])


def lines(rows: Sequence[Row]) -> list[str]:
    """The lines of the table without its head."""
    groups: dict[tuple[str, str], list[Row]] = {}
    for row in rows:
        groups.setdefault((row.stage, row.other), []).append(row)
    return [_line(stage, other, own) for (stage, other), own in groups.items()]


def _line(stage: str, other: str, own: Sequence[Row]) -> str:
    sizes = ", ".join(f"{row.size:,}" for row in own)
    ratios = ", ".join(f"{row.ratio:.2g}" if row.ratio < 10 else f"{row.ratio:,.0f}" for row in own)
    return f"| {stage} | {sizes} {own[0].unit} | {other} | {ratios} | {exponent(own):.2f} |"
