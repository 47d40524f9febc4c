"""What was worked out of several books as one, told to each in its own names: its animals, its records, its problems."""

from pipeline.findings.pooled.telling import (
    counted_once,
    named,
    own_kin,
    own_odds,
    own_problems,
    own_suspicions,
    own_words,
)

__all__ = ["counted_once", "named", "own_kin", "own_odds", "own_problems", "own_suspicions", "own_words"]
