"""How many young settle a test."""

from math import ceil, inf, log, log2


def young_needed(miss: float, sure: float) -> int:
    """How many young, each of which misses with that probability, leave a chance of 1 - sure that all miss."""
    return ceil(log(1 - sure) / log(miss) - 1e-9)


def both_counts(miss: float) -> str:
    """'5 young make it 95 % sure, 7 make it 99 %'."""
    return f"{young_needed(miss, 0.95)} young make it 95 % sure, {young_needed(miss, 0.99)} make it 99 %"


def telling_counts(likely: float, recorded: float) -> str:
    """The same where shares are told apart: young until the odds are expected to reach 19 or 99 to 1 (Wald's drift)."""
    drift = likely * log(likely / recorded) + (1 - likely) * log((1 - likely) / (1 - recorded))
    return f"about {ceil(log(19) / drift)} young make it 95 % sure, {ceil(log(99) / drift)} make it 99 %"


def females_needed(chance: float, sure: float) -> int:
    """How many young sexed as females, and no male, raise the chance that a clutch has no sire to `sure`; 0: it is so."""
    odds = chance / (1 - chance) if chance < 1 else inf
    return max(0, ceil(log2(sure / (1 - sure) / odds)) if odds < inf else 0)
