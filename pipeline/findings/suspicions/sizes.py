"""How many young settle a test."""

from math import ceil, log

SURE = 0.99
"""From this probability on the first advice is to mend the record."""


def young_needed(miss: float, sure: float) -> int:
    """How many young, each of which misses with that probability, leave a chance of 1 - sure that all miss."""
    return ceil(log(1 - sure) / log(miss) - 1e-9)


def both_counts(miss: float, young: str = "young") -> str:
    """'5 young make it 95 % sure, 7 make it 99 %'; `young`: which of them count."""
    return f"{young_needed(miss, 0.95)} {young} make it 95 % sure, {young_needed(miss, 0.99)} make it 99 %"


def telling_counts(likely: float, recorded: float) -> str:
    """The same where shares are told apart: young until the odds are expected to reach 19 or 99 to 1 (Wald's drift)."""
    drift = likely * log(likely / recorded) + (1 - likely) * log((1 - likely) / (1 - recorded))
    return f"about {ceil(log(19) / drift)} young make it 95 % sure, {ceil(log(99) / drift)} make it 99 %"


def findings_needed(chance: float, times: float, sure: float) -> int:
    """How many findings, each so many times likelier if a thing is so, raise its chance (above 0) to `sure`; 0 where it is
    there."""
    if chance >= sure:
        return 0
    return ceil((log(sure / (1 - sure)) - log(chance / (1 - chance))) / log(times) - 1e-9)
