"""The structures of one species: as recorded, or with structural faults, searched from the record to the best found.

Structural faults are a gene record that is otherwise, and a clutch without a sire; every other wrong sire is summed
within each of them. Faults are taken on greedily, the one that gains most first, until none gains; then each place is
weighed again with every fault that could be there and all other places as in the best found. Faults of one place
exclude each other: those that concern the same genes or clutch, and those that account for the same records, so that one
leaves nothing for the other (two alleles, or no sire at all). Places are taken as independent given the best found.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from math import exp, inf, isfinite, isnan, log

from pipeline.genetics.carriers.families import Family
from pipeline.genetics.carriers.solving import Solved
from pipeline.genetics.collection import Animal, Settings
from pipeline.genetics.genes import Catalogue
from pipeline.genetics.suspicions.alternatives import (
    Alternative,
    Changes,
    Fault,
    Variant,
    alternatives,
    touched,
)
from pipeline.genetics.suspicions.bench import Bench, Weighed, gained
from pipeline.genetics.suspicions.faults import GeneFault, Move, NoSire, Option, Place, Structures
from pipeline.genetics.suspicions.looks import doubled_in
from pipeline.genetics.suspicions.screening import (
    Question,
    Screen,
    Stated,
    played_together,
    travelling_together,
)
from pipeline.genetics.suspicions.sheets import Desk
from pipeline.genetics.suspicions.unsired import odds_alone, prior_odds, sexed_daughters, without_sire

PLAUSIBLE = log(0.01)
"""Least log odds against the best found at which a fault is weighed in full."""
SLACK = 1.5
"""How much the quick look may be off."""
ROUNDS = 20
"""Faults taken on at most."""


def structures(
    solved: Sequence[Solved],
    catalogue: Catalogue,
    settings: Settings,
    animals: Mapping[str, Animal],
    *,
    least: float = PLAUSIBLE,
) -> Structures:
    """All structures of one species that are worth a weight. `solved` are its families as recorded.

    `least`: see PLAUSIBLE; -inf weighs every single fault.

    Time: a quick look a fault and family that names its genes, and a full solution of those families for each fault
    that the quick look leaves.
    """
    return _Search(tuple(solved), catalogue, settings, animals, least).run()


@dataclass
class _Search:
    solved: tuple[Solved, ...]
    catalogue: Catalogue
    settings: Settings
    animals: Mapping[str, Animal]
    least: float
    adopted: list[Move] = field(default_factory=list)
    instead: dict[Move, Move] = field(default_factory=dict)
    """Of faults that an adopted one leaves nothing to explain, that one."""
    known: dict = field(default_factory=dict)

    def run(self) -> Structures:
        self.families = tuple(own.family for own in self.solved)
        self.doubled = doubled_in(self.families, self.catalogue)
        self.bench = self._bench(list(self.families))
        self.records = alternatives(self.catalogue, self.settings.wrong_gene_record, self.settings.misread)
        self.screen = Screen(Desk(self.catalogue, self.settings, self.doubled), self.animals)
        self.together = [played_together(family, self.catalogue) for family in self.families]
        self.travelling = [
            pairs & travelling_together(own.family, own.posterior, self.catalogue)
            for pairs, own in zip(self.together, self.solved, strict=True)
        ]
        self.best = dict(self.bench.as_recorded(self.solved))
        scores = self._scores()
        instead: dict[Move, Move] = {}
        for _ in range(ROUNDS):
            move = max(scores, key=lambda m: scores[m], default=None)
            if move is None or scores[move] <= 0:
                break
            self._adopt(move)
            before, scores = scores, self._scores()
            instead = self._in_stead(move, before, scores) | instead
        # only now: while faults are taken on, each adds to those of other genes and clutches
        self.instead = instead
        return self._settled(scores)

    def _in_stead(
        self, adopted: Move, before: Mapping[Move, float], after: Mapping[Move, float]
    ) -> dict[Move, Move]:
        """Faults that would gain more in the stead of an adopted one than beside it, by the scores before and after."""
        stead = {m: score - before[adopted] for m, score in before.items() if not self._exclude(m, adopted)}
        return {m: adopted for m, score in stead.items() if score > max(self.least, after.get(m, -inf))}

    def _settled(self, scores: Mapping[Move, float]) -> Structures:
        places = []
        plausible = [m for m, score in scores.items() if score > self.least]
        for moves in self._places(list(dict.fromkeys([*plausible, *self.instead]))):
            places.append(self._weighed_place(moves))
        return Structures(
            self.families[0].species, self.catalogue, self.families, self.best, tuple(p for p in places if p)
        )

    def _bench(self, families: list[Family]) -> Bench:
        return Bench(self.catalogue, self.settings, families, self.doubled, self.least == -inf)

    # --- moves ---

    def _scores(self) -> dict[Move, float]:
        """ln odds of every plausible move against the best so far; screened, not exact."""
        first = {own: self._tried_first(own) for own in self.records if self._in_play(own)}
        scores = self._quick([GeneFault(own, v) for own, variants in first.items() for v in variants])
        more = [
            GeneFault(own, v)
            for own, variants in first.items()
            if max(scores[GeneFault(own, w)] - log(w.share) for w in variants) > self.least - SLACK
            for v in own.variants
            if v not in variants
        ]
        found: dict[Move, float] = {
            move: score
            for move, score in (scores | self._quick(more)).items()
            if score > self.least - SLACK and move not in self.adopted
        }
        for i, weighed in self.best.items():
            if weighed.solved.posterior is not None:
                odds = odds_alone(weighed.family, weighed.solved.posterior, self.settings)
                found |= {NoSire(i, k): score for k, score in odds.items() if score > self.least - SLACK}
        return found

    def _in_play(self, own: Alternative) -> bool:
        """A pair of loci matters only where one clutch speaks of both."""
        loci = self._loci(own)
        return self.least == -inf or len(loci) == 1 or any(loci in pairs for pairs in self.together)

    def _loci(self, own: Alternative) -> tuple[str, ...]:
        return tuple(dict.fromkeys(self.catalogue.locus_of[name].name for name in own.genes))

    def _tried_first(self, own: Alternative) -> tuple[Variant, ...]:
        """All variants of what joins loci, which are cheap to weigh side by side; else the middle one."""
        return own.variants if len(self._loci(own)) > 1 else (own.variants[len(own.variants) // 2],)

    def _prior(self, move: Move) -> float:
        """ln prior odds of a fault against the record."""
        if isinstance(move, NoSire):
            return prior_odds(self.settings)
        wrong = self.settings.wrong_gene_record
        prior = move.alternative.prior * move.variant.share
        return log(prior / (1 - wrong)) if prior > 0 and wrong < 1 else -inf

    def _rivals(self, move: Move) -> list[Move]:
        """Adopted faults that a fault would take the place of."""
        return [m for m in self.adopted if self._exclude(move, m)]

    def _changes(self, moves: Sequence[Move]) -> Changes:
        merged: dict = {}
        for move in moves:
            if isinstance(move, GeneFault):
                merged |= move.variant.changes
        return merged

    def _with(self, move: Move | None, rivals: Sequence[Move]) -> list[Move]:
        return [m for m in self.adopted if m not in rivals] + ([move] if move else [])

    def _quick(self, moves: Sequence[GeneFault]) -> dict[GeneFault, float]:
        """ln odds of gene faults, each in place of its rivals, at the likeliest sires."""
        asked = [self._question(move, self._rivals(move)) for move in moves]
        gains = self.screen.gains(self._stated(), asked)
        return {
            move: self._prior(move) - sum(self._prior(m) for m in self._rivals(move)) + gain
            for move, gain in zip(moves, gains, strict=True)
        }

    def _question(
        self, move: Move | None, rivals: Sequence[Move], families: Iterable[int] | None = None
    ) -> Question:
        """What the screen is asked of a change, of the families that it concerns or of some."""
        moves = [m for m in (move, *rivals) if m is not None]
        genes, desk = self._touched(moves), self.screen.desk
        before, after = self._changes(self.adopted), self._changes(self._with(move, rivals))
        asked = self._concerned(moves) if families is None else families
        return Question(tuple(asked), desk.parts(before, genes), desk.parts(after, genes))

    def _concerned(self, moves: Iterable[Move]) -> list[int]:
        """Families to which some moves make a difference."""
        found: set[int] = set()
        for move in moves:
            if isinstance(move, NoSire):
                found.add(move.family)
            else:
                found.update(self._naming(move))
        return sorted(found)

    def _naming(self, move: GeneFault) -> list[int]:
        """Families that name a gene of the fault; of one of two loci, those of which one clutch speaks of both."""
        families = self.bench.concerned(self._touched([move]))
        loci = self._loci(move.alternative)
        if len(loci) == 1 or self.least == -inf:
            return families
        pairs = self.travelling if move.alternative.fault is Fault.LINKED else self.together
        return [i for i in families if loci in pairs[i]]

    def _touched(self, moves: Iterable[Move]) -> frozenset[str]:
        """Genes of every linkage group that gene faults among the moves concern, all of them together."""
        faults = tuple(m for m in moves if isinstance(m, GeneFault))
        if faults not in self.known:
            self.known[faults] = touched(self.catalogue, self._changes(faults))
        return self.known[faults]

    def _stated(self) -> dict[int, Stated]:
        return {i: (family, self.best[i].solved.posterior) for i, family in enumerate(self.bench.families)}

    # --- full weights ---

    def _adopt(self, move: Move) -> None:
        rivals = self._rivals(move)
        self.best |= self._weigh(move, rivals, tangled=True)
        self.adopted = self._with(move, rivals)
        self.bench.families = self._families(self.adopted)

    def _families(self, moves: Sequence[Move]) -> list[Family]:
        families = list(self.families)
        for move in moves:
            if isinstance(move, NoSire):
                families[move.family] = without_sire(families[move.family], move.clutch)
        return families

    def _weigh(
        self, move: Move | None, rivals: Sequence[Move], *, tangled: bool = False
    ) -> Mapping[int, Weighed]:
        """The families that a change of the best concerns, in full; those too tangled for that only where asked for."""
        moves = self._with(move, rivals)
        bench = self._bench(self._families(moves))
        differing = [m for m in (move, *rivals) if m is not None]
        only = [i for i in self._concerned(differing) if tangled or not isnan(self.best[i].log_evidence)]
        return bench.weigh(self._changes(moves), only)

    def _odds_of(self, move: Move | None, rivals: Sequence[Move], weighed: Mapping[int, Weighed]) -> float:
        total = gained(weighed, self.best) + self._quickly_gained(move, rivals, weighed)
        for sign, m in [(1, move), *((-1, rival) for rival in rivals)]:
            if m is not None:
                total += sign * self._prior(m)
            if isinstance(m, NoSire):
                total += sign * log(2) * sexed_daughters(self.families[m.family], m.clutch)
        return total

    def _quickly_gained(
        self, move: Move | None, rivals: Sequence[Move], weighed: Mapping[int, Weighed]
    ) -> float:
        """The same for families too tangled to have an evidence, at the likeliest sires, where even that can be had."""
        concerned = self._concerned([m for m in (move, *rivals) if m is not None])
        tangled = [i for i in concerned if isnan(self.best[i].log_evidence)]
        tangled += [i for i, own in weighed.items() if isnan(own.log_evidence)]
        if not tangled:
            return 0.0
        (gain,) = self.screen.gains(self._stated(), [self._question(move, rivals, tangled)])
        return gain if isfinite(gain) else 0.0

    def _places(self, moves: Sequence[Move]) -> Iterator[list[Move]]:
        """Faults that exclude each other, together: around each adopted one, then those left that touch in common."""
        waiting = [m for m in moves if m not in self.adopted]
        for own in self.adopted:
            near = [m for m in waiting if self._exclude(m, own)]
            waiting = [m for m in waiting if m not in near]
            yield [own, *near]
        while waiting:
            place, near = [], [waiting[0]]
            while near:
                place += near
                waiting = [m for m in waiting if m not in near]
                near = [m for m in waiting if any(self._exclude(m, other) for other in place)]
            yield place

    def _exclude(self, one: Move, other: Move) -> bool:
        if other in (one, self.instead.get(one)):
            return True
        if isinstance(one, NoSire) or isinstance(other, NoSire):
            return one == other
        return bool(self._touched([one]) & self._touched([other]))

    def _weighed_place(self, moves: Sequence[Move]) -> Place | None:
        here = [m for m in self.adopted if m in moves]
        options: list[tuple[Move | None, float, Mapping[int, Weighed]]] = []
        for move in [None, *moves]:
            if move in here or (move is None and not here):
                options.append((move, 0.0, {}))
            else:
                rivals = here if move is None else self._rivals(move)
                weighed = self._weigh(move, rivals)
                options.append((move, self._odds_of(move, rivals, weighed), weighed))
        shares = _shares([odds for _, odds, _ in options])
        if shares is None:
            return None
        found = tuple(Option(m, share, own) for (m, _, own), share in zip(options, shares, strict=True))
        return Place(
            found, next(i for i, (m, *_) in enumerate(options) if m in here or (m is None and not here))
        )


def _shares(odds: Sequence[float]) -> list[float] | None:
    """Odds, as logarithms, to probabilities; None where nothing is possible. What makes the impossible possible is certain."""
    top = max(odds)
    if top == -inf:
        return None
    weights = [float(own == inf) if top == inf else exp(own - top) for own in odds]
    return [weight / sum(weights) for weight in weights]
