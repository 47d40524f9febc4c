"""What is wrong in the demo collection on purpose, and which of it the ratio tests alone can find."""

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class Planted:
    """One planted fault. `subject` is the animal, pairing or gene at fault; `pairings` show the symptoms.

    `by_ratios` is the verdict that ratio tests must reach for each of `pairings` or, where `gene_scope`, for the gene
    across the collection; None where ratios alone can't tell.
    """

    kind: Literal["label", "parentage", "reading", "gene record"]
    subject: str
    what: str
    pairings: tuple[str, ...]
    genes: tuple[str, ...]
    by_ratios: Literal["departs", "impossible"] | None
    gene_scope: bool = False


def planted_list(faults: tuple[Planted, ...], weighings: tuple[str, ...] = ()) -> str:
    """The list as Markdown, written beside the demo book."""
    lines = [
        "# What is planted in demo.xlsx",
        "",
        "The collection is invented, animal by animal. These faults were put in on purpose; everything else is sound.",
        "",
        "| record at fault | kind | what is wrong | where it shows |",
        "|---|---|---|---|",
    ]
    lines += [f"| {f.subject} | {f.kind} | {f.what} | {', '.join(f.pairings)} |" for f in faults]
    if weighings:
        lines += ["", f"On the sheet Weights: {'; '.join(weighings)}."]
    return "\n".join(lines) + "\n"
