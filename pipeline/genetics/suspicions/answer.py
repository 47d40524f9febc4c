"""Every record of a collection asked how likely it is wrong, averaged over the structures."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from math import inf
from typing import TypeVar

from pipeline.genetics.carriers.families import Clutch
from pipeline.genetics.carriers.solving import Solved, solve
from pipeline.genetics.collection import Collection, Young
from pipeline.genetics.suspicions.alternatives import Alternative
from pipeline.genetics.suspicions.averaging import at_loci_of, averaged, genes_of, options_of
from pipeline.genetics.suspicions.bench import Weighed
from pipeline.genetics.suspicions.faults import GeneFault, Structures
from pipeline.genetics.suspicions.records import Doubt, Key, LabelKey, doubts
from pipeline.genetics.suspicions.search import PLAUSIBLE, structures
from pipeline.genetics.suspicions.unsired import SHARE

NOBODY = "\0no sire"
"""Stands for no sire at all among a clutch's possible sires."""
OF_SPECIES = -1
"""Stands for the family of a suspected gene record, which concerns its species."""
EXACT = "exact"
_Found = TypeVar("_Found")
_WRONG = "\0wrong"
STRONGLY = 10
"""Least Bayes factor against a row of several young, one of which is misread soon enough where they are many: 'strong' on
Jeffreys' scale (Kass & Raftery 1995, "Bayes factors"; from memory)."""


class Suspect(StrEnum):
    """The kinds of records, as the contract names them."""

    LABEL = "label"
    PARENTAGE = "parentage"
    GENE_RECORD = "gene record"
    READING = "reading"


Rival = Alternative | str | None
"""What may be instead of a record, or be as recorded; see Suspicion."""


@dataclass(frozen=True)
class Suspicion:
    """One record and how likely it is wrong.

    `family` is its family's position (OF_SPECIES: a gene record). `rivals`: every explanation with
    its probability, likeliest first; of a parentage by the male's ID, None a male unknown, NOBODY no sire; of a gene
    record by Alternative, None as recorded; of labels and readings in words. `clutch` is given with parentage and the
    tallies among readings, `genes` with gene records and readings: those of its locus in the best structure, where a locus
    may be another than in the book. `expected` and `misread` are those of its Doubt.
    """

    kind: Suspect
    species: str
    family: int
    probability: float
    prior: float
    rivals: tuple[tuple[Rival, float], ...]
    animal: str | None = None
    clutch: Clutch | None = None
    tally: int | None = None
    gene: str | None = None
    genes: tuple[str, ...] = ()
    expected: float = 0.0
    misread: float = 0.0
    value: float | None = None
    method: str = EXACT

    @property
    def subject(self) -> str:
        """The animal, pairing or genes whose record it is; of animals without a pairing their IDs."""
        if self.kind is Suspect.GENE_RECORD:
            return ", ".join(self.genes)
        if self.animal:
            return self.animal
        return str(self.known_clutch.key[0]) or ", ".join(self.known_clutch.children)

    @property
    def known_animal(self) -> str:
        """The animal of a label, or of an animal's reading. LookupError for a record of no animal."""
        return _given(self.animal, "animal")

    @property
    def known_clutch(self) -> Clutch:
        """The clutch of a parentage, or of a tally's reading. LookupError for a record of no clutch."""
        return _given(self.clutch, "clutch")

    @property
    def known_gene(self) -> str:
        """The gene of a label, the locus of a reading. LookupError for other records."""
        return _given(self.gene, "gene")

    @property
    def alternatives(self) -> tuple[tuple[Alternative, float], ...]:
        """Of a gene record, what its own genes may be instead, the likeliest first; `rivals` also has what others may be in
        their stead."""
        own = set(self.genes)
        return tuple(
            (key, p) for key, p in self.rivals if isinstance(key, Alternative) and own & set(key.genes)
        )

    @property
    def young(self) -> Young | None:
        """The row of young whose reading it is; None for every other record."""
        return None if self.tally is None else self.known_clutch.tallies[self.tally]

    @property
    def likeliest_male(self) -> str | None:
        """Of a parentage, the likeliest sire besides the recorded, as `rivals` name it. LookupError for other records."""
        for male, _ in self.rivals if self.kind is Suspect.PARENTAGE else ():
            if not isinstance(male, Alternative) and male not in self.known_clutch.recorded:
                return male
        raise LookupError("a suspicion of no sire")

    @property
    def unsired(self) -> bool:
        """Whether no sire at all is the likeliest of what speaks against a parentage."""
        return self.kind is Suspect.PARENTAGE and self.likeliest_male == NOBODY

    @property
    def bayes_factor(self) -> float:
        """By how much the records changed the odds against this one."""
        return _odds(self.probability) / _odds(self.prior) if 0 < self.prior < 1 else inf


@dataclass(frozen=True)
class Suspicions:
    """All records of a collection: `found` holds those at least as likely as asked for, the likeliest first."""

    found: tuple[Suspicion, ...]
    structures: tuple[Structures, ...]


def searched(
    collection: Collection, solved: Sequence[Solved] | None = None, *, least: float = PLAUSIBLE
) -> tuple[Structures, ...]:
    """The structures of each species that has animals. `solved`: carriers.solve(collection), where it is known already.

    `least`: see search.structures.
    """
    known = solve(collection) if solved is None else solved
    found = []
    for species, catalogue in collection.catalogues.items():
        own = [one for one in known if one.family.species == species]
        if own:
            found.append(structures(own, catalogue, collection.settings, collection.animals, least=least))
    return tuple(found)


def suspicions(
    collection: Collection, at_least: float, known: Sequence[Structures] | None = None
) -> Suspicions:
    """All records whose probability of being wrong is at least `at_least` and was raised by the other records; a row of
    several young where it was raised strongly.

    `known`: the collection's structures, where they were searched already.
    """
    structures_of = searched(collection) if known is None else tuple(known)
    found = [one for own in structures_of for one in _of_species(own, collection, at_least)]
    wrong = [s for s in found if s.probability >= at_least and _raised(s)]
    wrong.sort(key=lambda s: (-round(s.probability, 4), s.species, s.kind, s.subject))
    return Suspicions(tuple(wrong), structures_of)


def _raised(suspicion: Suspicion) -> bool:
    """Whether the records speak against this one; of a row of many young, strongly (see STRONGLY), also young by young."""
    if suspicion.young is None or suspicion.young.count == 1:
        return suspicion.probability > suspicion.prior
    each = _odds(suspicion.expected / suspicion.young.count)
    return suspicion.bayes_factor >= STRONGLY and each >= STRONGLY * _odds(suspicion.misread)


def _of_species(own: Structures, collection: Collection, at_least: float) -> Iterator[Suspicion]:
    yield from _gene_records(own, collection.settings.wrong_gene_record)
    for i in range(len(own.families)):
        yield from _parentage(own, i, collection.settings.wrong_sire, at_least)
        yield from _records(own, i, at_least)


# --- kinds of records ---


def _gene_records(own: Structures, wrong: float) -> Iterator[Suspicion]:
    for place in own.places:
        shares: dict[Alternative | None, float] = {}
        values: dict[Alternative, float] = {}
        for option in place.options:
            fault = option.fault
            gene = fault if isinstance(fault, GeneFault) else None
            key = gene.alternative if gene else None
            shares[key] = shares.get(key, 0.0) + option.probability
            if gene and gene.variant.value is not None:
                told = values.get(gene.alternative, 0.0)
                values[gene.alternative] = told + gene.variant.value * option.probability
        left = [key for key in sorted(shares, key=lambda key: -shares[key]) if key]
        while left:
            first = left[0]
            same = [key for key in left if set(key.genes) & set(first.genes)]
            left = [key for key in left if key not in same]
            yield Suspicion(
                Suspect.GENE_RECORD,
                own.species,
                OF_SPECIES,
                sum(shares[key] for key in same),
                1 - (1 - wrong) ** len(first.genes),
                _ranked({None: 0.0} | shares),
                genes=first.genes,
                value=values[first] / shares[first] if first in values else None,
                method="one fault at a time" if len(own.places) > 1 else EXACT,
            )


def _parentage(own: Structures, i: int, wrong: float, at_least: float) -> Iterator[Suspicion]:
    if own.best[i].solved.posterior is None:
        return
    chances: dict[int, dict[str | None, float]] = {}
    for (k, male), chance in averaged(own, i, _sires).items():
        chances.setdefault(k, {})[male] = chance
    for k, clutch in enumerate(own.families[i].clutches):
        rivals = chances.get(k, {})
        rivals |= {male: rivals.get(male, 0.0) for male in clutch.recorded}
        right = sum(rivals[male] for male in clutch.recorded)
        if 1 - right < at_least:
            continue
        yield Suspicion(
            Suspect.PARENTAGE,
            own.species,
            i,
            max(1 - right, 0.0),
            wrong * (1 + SHARE) - wrong * wrong * SHARE,
            _ranked(rivals),
            clutch=clutch,
            method=_method(own, i),
        )


def _sires(weighed: Weighed) -> dict[tuple[int, str | None], float]:
    found: dict[tuple[int, str | None], float] = {}
    for k, clutch in enumerate(weighed.family.clutches):
        if not clutch.tallies and not clutch.children:
            found[k, NOBODY] = 1.0
            continue
        for candidate, chance in zip(clutch.candidates, weighed.solved.weighed.sires[k], strict=True):
            found[k, candidate.male] = float(chance)
    return found


def _records(own: Structures, i: int, at_least: float) -> Iterator[Suspicion]:
    """Labels and readings of one family that reach `at_least`."""
    weighed = own.best[i]
    if weighed.solved.posterior is None:
        return
    options = options_of(own, i)
    least = max(at_least - sum(option.probability for option in options), 0.0)
    base = doubts(weighed.family, weighed.solved.weighed, priors=True, least=least)

    def numbers(there: Weighed) -> dict[tuple[Key, str], float]:
        known = base if there is weighed else at_loci_of(weighed, there)
        chances = {(key, _WRONG): doubt.probability for key, doubt in known.items()}
        return chances | {(key, r): p for key, doubt in known.items() for r, p in doubt.rivals.items()}

    means = averaged(own, i, numbers) if options else numbers(weighed)
    wrong = {key: means[key, _WRONG] for key in base if means[key, _WRONG] >= at_least}
    rivals: dict[Key, dict[str, float]] = {key: {} for key in wrong}  # those of other structures too
    for (key, rival), chance in means.items():
        if key in wrong and rival != _WRONG:
            rivals[key][rival] = chance
    for key, chance in wrong.items():
        yield _record(own, i, key, replace(base[key], probability=chance, rivals=rivals[key]))


def _record(own: Structures, i: int, key: Key, doubt: Doubt) -> Suspicion:
    rivals, method = _ranked(doubt.rivals), _method(own, i)
    if isinstance(key, LabelKey):
        return Suspicion(
            Suspect.LABEL, own.species, i, doubt.probability, doubt.prior, rivals,
            animal=key.animal, gene=key.gene, method=method,
        )  # fmt: skip
    clutch = own.families[i].clutches[key.clutch] if key.clutch >= 0 else None
    return Suspicion(
        Suspect.READING, own.species, i, doubt.probability, doubt.prior, rivals,
        animal=key.animal, clutch=clutch, tally=key.tally if clutch else None, gene=key.locus,
        genes=tuple(sorted(genes_of(own.best[i])[key.locus], key=own.catalogue.place.__getitem__)),
        expected=doubt.expected, misread=doubt.misread, method=method,
    )  # fmt: skip


def _ranked(rivals: Mapping) -> tuple[tuple[Rival, float], ...]:
    return tuple(sorted(rivals.items(), key=lambda pair: -pair[1]))


def _given(found: _Found | None, what: str) -> _Found:
    if found is None:
        raise LookupError(f"a suspicion of no {what}")
    return found


def _odds(chance: float) -> float:
    return chance / (1 - chance) if chance < 1 else inf


def _method(own: Structures, i: int) -> str:
    posterior = own.best[i].solved.posterior
    sires = posterior.method if posterior is not None else ""
    return f"{sires}, one fault at a time" if len(own.places) > 1 else sires
