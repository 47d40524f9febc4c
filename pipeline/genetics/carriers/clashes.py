from dataclasses import dataclass
@dataclass(frozen=True)
class Clash:
    records: tuple
def consistent_scores(*a): raise
