"""Who descends from whom: order, loops, inbreeding and kinship, sparse.

`Parents` maps each animal to its (sire, dam), None where unknown. A parent without an entry of its own is a founder;
founders are taken as unrelated to each other and not inbred. Results don't depend on the order of the entries.
"""

from collections import deque
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from heapq import heappop, heappush

import numpy as np

Parents = Mapping[str, tuple[str | None, str | None]]
Pair = tuple[str, str]
_NOTHING = 1e-12
"""A probability below this is rounding."""


class PedigreeLoop(ValueError):
    """An animal is its own ancestor; the message walks the loop."""


def parents_first(parents: Parents) -> list[str]:
    """The animals of `parents`, each after its parents: by depth in the pedigree, then by ID.

    Raises PedigreeLoop where an animal is among its own ancestors.
    """
    young: dict[str, list[str]] = {}
    waiting = dict.fromkeys(parents, 0)
    for animal in parents:
        for parent in _recorded(animal, parents):
            young.setdefault(parent, []).append(animal)
            waiting[animal] += 1
    order, ready = [], sorted(animal for animal, count in waiting.items() if not count)
    while ready:
        order += ready
        grown = []
        for child in (child for animal in ready for child in young.get(animal, ())):
            waiting[child] -= 1
            if not waiting[child]:
                grown.append(child)
        ready = sorted(grown)
    if len(order) < len(parents):
        first = loops(parents)[0]
        raise PedigreeLoop(f"{first[0]} is its own ancestor: {' → '.join((*first, first[0]))}")
    return order


def loops(parents: Parents) -> list[tuple[str, ...]]:
    """Loops from animal to parent, so many that every animal on a loop is on one of those returned.

    Each begins with its smallest ID and is a shortest loop through one of its animals; the last one's parent is the first.
    """
    left = _on_no_branch(parents)
    found: list[tuple[str, ...]] = []
    covered: set[str] = set()
    for animal in sorted(left):
        loop = None if animal in covered else _shortest_loop(animal, parents, left)
        if loop:
            start = loop.index(min(loop))
            found.append(loop[start:] + loop[:start])
            covered |= set(loop)
    return sorted(dict.fromkeys(found))


def _recorded(animal: str, parents: Parents) -> list[str]:
    """The parents of an animal that have entries of their own; one that is both sire and dam counts once."""
    return [parent for parent in dict.fromkeys(parents[animal]) if parent is not None and parent in parents]


def _on_no_branch(parents: Parents) -> set[str]:
    """Animals left when whoever has no recorded parents, and whoever has no young, is struck out again and again."""
    left = set(parents)
    while True:
        upward = {animal for animal in left if any(p in left for p in _recorded(animal, parents))}
        kept = upward & {p for animal in upward for p in _recorded(animal, parents)}
        if len(kept) == len(left):
            return left
        left = kept


def _shortest_loop(animal: str, parents: Parents, left: set[str]) -> tuple[str, ...] | None:
    below: dict[str, str] = {}
    queue = deque([animal])
    while queue:
        current = queue.popleft()
        for parent in sorted(_recorded(current, parents)):
            if parent == animal:
                return _path(current, animal, below)
            if parent in left and parent not in below:
                below[parent] = current
                queue.append(parent)
    return None


def _path(last: str, first: str, below: Mapping[str, str]) -> tuple[str, ...]:
    path = [last]
    while path[-1] != first:
        path.append(below[path[-1]])
    return tuple(reversed(path))


class Pedigree:
    """A pedigree made ready for questions of kinship. Raises PedigreeLoop where an animal is its own ancestor.

    Animal i is `ids[i]`, founders without an entry first; `sire[i]` and `dam[i]` are positions, -1 unknown.
    """

    def __init__(self, parents: Parents) -> None:
        named = {parent for pair in parents.values() for parent in pair if parent is not None}
        self.ids = sorted(named - set(parents)) + parents_first(parents)
        self.position = {animal: index for index, animal in enumerate(self.ids)}
        pairs = [parents.get(animal, (None, None)) for animal in self.ids]
        self.sire = [-1 if sire is None else self.position[sire] for sire, _ in pairs]
        self.dam = [-1 if dam is None else self.position[dam] for _, dam in pairs]
        self._known: dict[int, tuple[np.ndarray, np.ndarray]] = {}

    @cached_property
    def _inbreeding_and_variance(self) -> tuple[list[float], list[float]]:
        """F of every animal, and its Mendelian sampling variance d (Meuswissen & Luo 1992, Genet. Sel. Evol. 24:305)."""
        inbreeding: list[float] = []
        variance: list[float] = []
        known: dict[tuple[int, int], float] = {}
        for animal, (sire, dam) in enumerate(zip(self.sire, self.dam, strict=True)):
            variance.append(_sampling(sire, dam, inbreeding))
            pair = (min(sire, dam), max(sire, dam))
            if pair[0] < 0:
                inbreeding.append(0.0)
                continue
            if pair not in known:
                parts = self._contributions(animal)
                known[pair] = sum(share * share * variance[ancestor] for ancestor, share in parts.items()) - 1
            inbreeding.append(known[pair])
        return inbreeding, variance

    @cached_property
    def _scale(self) -> np.ndarray:
        """D^(1/2): the standard deviations of Mendelian sampling."""
        return np.sqrt(self._inbreeding_and_variance[1])

    def _contributions(self, animal: int) -> dict[int, float]:
        """The share of an animal's genes that comes from each ancestor, itself (1) included."""
        shares = {animal: 1.0}
        queue = [-animal]
        while queue:
            current = -heappop(queue)
            for parent in (self.sire[current], self.dam[current]):
                if parent < 0:
                    continue
                if parent not in shares:
                    shares[parent] = 0.0
                    heappush(queue, -parent)
                shares[parent] += shares[current] / 2
        return shares

    def inbreeding(self) -> dict[str, float]:
        """Wright's F of every animal, 0..1: the odds that its two alleles of a locus are copies of one ancestral allele."""
        return dict(zip(self.ids, self._inbreeding_and_variance[0], strict=True))

    def kinship(self, pairs: Iterable[Pair]) -> dict[Pair, float]:
        """Kinship of each pair: F of the young it would have. Of an animal with itself: (1 + F) / 2.

        K = T D T' / 2 (Henderson 1976, Biometrics 32:69) over the ancestors of the animals asked for alone. An ID the
        pedigree doesn't know is unrelated to all others.
        """
        wanted = list(dict.fromkeys(pairs))
        partners: dict[str, list[str]] = {}
        for one, other in wanted:
            partners.setdefault(one, []).append(other)
        rows = _Rows(self, {animal for pair in wanted for animal in pair})
        found = {
            (one, other): value for one, own in partners.items() for other, value in rows.kinship(one, own)
        }
        return {pair: found[pair] for pair in wanted}

    def generations_known(self) -> dict[str, float]:
        """Equivalent complete generations of ancestors: the sum over known ancestors of (1/2)^generation.

        0 for a founder, 1 with both parents known and no more, 1.5 with one pair of grandparents as well (Maignel et
        al. 1996, cited from memory).
        """
        depth: list[float] = []
        for parents in zip(self.sire, self.dam, strict=True):
            depth.append(sum((1 + depth[parent]) / 2 for parent in parents if parent >= 0))
        return dict(zip(self.ids, depth, strict=True))

    def kin(self, ones: Sequence[str], others: Sequence[str]) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """All pairs of one of `ones` with one of `others` that are kin: their places in the two lists, and their kinship.

        K = T D T' / 2 as in `kinship`, as a sparse product: time grows with the ancestors of each and the pairs found.
        Every ID must be known to the pedigree.
        """
        from scipy.sparse import csr_array

        scale = self._scale

        def rows(animals: Sequence[str]) -> csr_array:
            own = [self._shares(self.position[animal]) for animal in animals]
            at = np.concatenate([places for places, _ in own] or [np.zeros(0, dtype=np.int64)])
            shares = np.concatenate([share for _, share in own] or [np.zeros(0)])
            starts = np.cumsum([0, *(len(places) for places, _ in own)])
            return csr_array((shares * scale[at], at, starts), shape=(len(animals), len(self.ids)))

        found = (rows(ones) @ rows(others).T).tocoo()
        close = found.data > _NOTHING
        return found.coords[0][close], found.coords[1][close], found.data[close] / 2

    def matrix(self, ones: Sequence[str], others: Sequence[str]) -> np.ndarray:
        """The kinship of every one of `ones` with every one of `others`; see `kin`."""
        found = np.zeros((len(ones), len(others)))
        at, by, kinship = self.kin(ones, others)
        found[at, by] = kinship
        return found

    def common_ancestors(self, one: str, other: str) -> dict[str, float]:
        """Ancestors in which lines of descent to two animals meet, with what each adds to their kinship, largest first.

        Wright's paths (1922, Am. Nat. 56:330), the sum of (1/2)^(n + n' + 1) (1 + F) over each ancestor's pairs of lines
        that share no animal but it; together they are the kinship. A parent and its young meet in the parent.

        Two lines drawn at random both pass an ancestor with the product of its shares in the two animals; of that,
        whatever met already in a younger one is taken away, youngest first. All ancestors of a shared one are shared.
        """
        if one not in self.position or other not in self.position:
            return {}
        f = self._inbreeding_and_variance[0]
        (first, own), (second, theirs) = (self._shares(self.position[animal]) for animal in (one, other))
        shared, here, there = np.intersect1d(first, second, assume_unique=True, return_indices=True)
        meet = own[here] * theirs[there]
        found: dict[str, float] = {}
        for place in range(len(shared) - 1, -1, -1):
            ancestor, chance = int(shared[place]), float(meet[place])
            if chance > _NOTHING:
                found[self.ids[ancestor]] = chance * (1 + f[ancestor]) / 2
                at, shares = self._shares(ancestor)
                meet[np.searchsorted(shared, at)] -= chance * shares**2
        return dict(sorted(found.items(), key=lambda part: (-part[1], part[0])))

    def _shares(self, animal: int) -> tuple[np.ndarray, np.ndarray]:
        """An animal's ancestors, itself included, by position, and the share of its genes from each; kept once made."""
        if animal not in self._known:
            shares = self._contributions(animal)
            at = np.array(sorted(shares), dtype=np.int64)
            self._known[animal] = at, np.array([shares[place] for place in at.tolist()])
        return self._known[animal]


def _sampling(sire: int, dam: int, inbreeding: list[float]) -> float:
    """The part of an animal's own variance that its parents' genes don't fix: 1/2 - (F sire + F dam)/4, F unknown = -1."""
    return 0.5 - sum(-1.0 if parent < 0 else inbreeding[parent] for parent in (sire, dam)) / 4


class _Rows:
    """Rows of T D^(1/2), sparse: one an animal asked for, over its ancestors."""

    def __init__(self, pedigree: Pedigree, animals: Iterable[str]) -> None:
        scale = pedigree._scale
        self._size = len(pedigree.ids)
        self._rows: dict[str, tuple[np.ndarray, np.ndarray]] = {}
        for animal in animals:
            if animal in pedigree.position:
                at, shares = pedigree._shares(pedigree.position[animal])
                self._rows[animal] = at, shares * scale[at]

    def kinship(self, one: str, others: list[str]) -> list[tuple[str, float]]:
        """Kinship of one animal with several: its row laid out in full, theirs summed against it in one sweep."""
        known = [other for other in others if other in self._rows and one in self._rows]
        values = {other: 0.5 if other == one else 0.0 for other in others}
        if known:
            full = np.zeros(self._size)
            full[self._rows[one][0]] = self._rows[one][1]
            at = np.concatenate([self._rows[other][0] for other in known])
            parts = np.concatenate([self._rows[other][1] for other in known]) * full[at]
            starts = np.cumsum([0, *(len(self._rows[other][0]) for other in known[:-1])])
            values |= zip(known, (np.add.reduceat(parts, starts) / 2).tolist(), strict=True)
        return list(values.items())


def inbreeding(parents: Parents) -> dict[str, float]:
    """Wright's F of every animal and named founder; see Pedigree.inbreeding."""
    return Pedigree(parents).inbreeding()


def kinship(parents: Parents, pairs: Iterable[Pair]) -> dict[Pair, float]:
    """Kinship of the pairs asked for; see Pedigree.kinship."""
    return Pedigree(parents).kinship(pairs)


def generations_known(parents: Parents) -> dict[str, float]:
    """Equivalent complete generations known of every animal; see Pedigree.generations_known."""
    return Pedigree(parents).generations_known()


def common_ancestors(parents: Parents, one: str, other: str) -> dict[str, float]:
    """Ancestors through which two animals are kin, with their parts of the kinship; see Pedigree.common_ancestors."""
    return Pedigree(parents).common_ancestors(one, other)
