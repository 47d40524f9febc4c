"""From what a label claims of each gene to what it states at each locus."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import floor

from pipeline.genetics.genes import Catalogue, Gene, Inheritance
from pipeline.genetics.statements import Carried, Shown, Statement


class Claim(StrEnum):
    """What a label may claim of a gene."""

    SHOWS = "shows"
    TWO = "two copies"
    ONE = "het"
    NONE = "not there"


@dataclass(frozen=True)
class GeneClaim:
    """One claim; `probability` matters for ONE alone: 1 certain, None 'possible' without a number."""

    gene: Gene
    claim: Claim
    probability: Fraction | None = Fraction(1)

    @property
    def certain(self) -> bool:
        """Whether the claim says for sure that the gene is there."""
        return self.claim is not Claim.NONE and self.probability == 1

    @property
    def words(self) -> str:
        """The claim as a label writes it: 'super Motley', '66% het Anery', 'not Anery'."""
        if self.claim is not Claim.ONE:
            return {Claim.SHOWS: "", Claim.TWO: "super ", Claim.NONE: "not "}[self.claim] + self.gene.name
        odds = "" if self.certain else f"{percentage(self.probability)} "
        return f"{odds}het {self.gene.name}"


_THIRD, _HALF, _TWO_THIRDS = Fraction(1, 3), Fraction(1, 2), Fraction(2, 3)


def percentage(chance: Fraction | None) -> str:
    """Odds as the trade writes them: '66%', '50%', 'possible' for None; never 0 % or 100 % of what is not certain.

    Whole numbers, two thirds as 66 % and a third as 33 % (common practice, no source).
    """
    if chance is None:
        return "possible"
    if chance in (_THIRD, _TWO_THIRDS):
        return "33%" if chance < _HALF else "66%"
    return f"{min(99, max(1, floor(chance * 100 + _HALF)))}%"


@dataclass(frozen=True)
class LabelFault:
    """One thing in a label that can't be read: the words, what is wrong, and the nearest known name if any."""

    words: str
    message: str
    nearest: str | None = None


def stated(claims: Iterable[GeneClaim], catalogue: Catalogue, faults: list[LabelFault]) -> Statement:
    """The claims of one label as a Statement in the catalogue's order of genes; what can't be so joins `faults`.

    Copies are stated where a look or the label tells them: 1 or 2 of an incomplete dominant gene; 1, 2 or None (not
    told) of a dominant one; never of a recessive one, whose copies follow from the rest of the locus.
    """
    by_gene: dict[str, GeneClaim] = {}
    for claim in claims:
        before = by_gene.get(claim.gene.name)
        by_gene[claim.gene.name] = _both(before, claim, faults) if before else claim
    shows: list[Shown] = []
    carries: list[Carried] = []
    for locus in catalogue.loci:
        own = [by_gene[gene.name] for gene in locus.genes if gene.name in by_gene]
        if own:
            _at_locus(own, shows, carries, faults)
    lacks = [name for name, claim in by_gene.items() if claim.claim is Claim.NONE]
    return canonical(Statement(tuple(shows), tuple(carries), tuple(lacks)), catalogue)


def claims_of(statement: Statement, catalogue: Catalogue) -> list[GeneClaim]:
    """A statement as claims, one a gene."""
    gene = catalogue.by_name
    counted = {None: Claim.SHOWS, 1: Claim.ONE, 2: Claim.TWO}
    shows = [GeneClaim(gene[shown.gene], counted[shown.copies]) for shown in statement.shows]
    carries = [GeneClaim(gene[carried.gene], Claim.ONE, carried.probability) for carried in statement.carries]
    return shows + carries + [GeneClaim(gene[name], Claim.NONE) for name in statement.lacks]


def canonical(statement: Statement, catalogue: Catalogue) -> Statement:
    """The same statement as `read_label` would give it: genes and lines in the catalogue's order, copies as `stated`."""
    place = catalogue.place
    shows = {Shown(shown.gene, _told(shown, catalogue.by_name[shown.gene])) for shown in statement.shows}
    return Statement(
        tuple(sorted(shows, key=lambda shown: place[shown.gene])),
        tuple(sorted(statement.carries, key=lambda carried: place[carried.gene])),
        tuple(sorted(statement.lacks, key=place.__getitem__)),
        tuple(sorted(statement.lines, key=place.__getitem__)),
    )


def _told(shown: Shown, gene: Gene) -> int | None:
    if gene.inheritance is Inheritance.RECESSIVE:
        return None
    return shown.copies or 1 if gene.inheritance is Inheritance.INCOMPLETE else shown.copies


def _both(one: GeneClaim, other: GeneClaim, faults: list[LabelFault]) -> GeneClaim:
    """Two claims about one gene as one, the sharper; a fault where they can't both be so."""
    if one == other:
        return one
    blunt, sharp = sorted((one, other), key=lambda claim: claim.claim is not Claim.SHOWS)
    inheritance = one.gene.inheritance
    sharpens = {Claim.TWO: Inheritance.INCOMPLETE, Claim.ONE: Inheritance.RECESSIVE}
    sharper = blunt.claim is Claim.SHOWS and sharp.certain and sharp.claim in sharpens
    if sharper and inheritance is not sharpens[sharp.claim]:
        return sharp
    message = f"'{one.words}' and '{other.words}' can't both be so: keep one of them"
    faults.append(LabelFault(one.gene.name, message))
    return one


def _at_locus(
    own: list[GeneClaim], shows: list[Shown], carries: list[Carried], faults: list[LabelFault]
) -> None:
    sure = [claim for claim in own if claim.certain]
    if len(sure) + sum(claim.claim is Claim.TWO for claim in sure) > 2:
        names = ", ".join(claim.words for claim in sure)
        faults.append(
            LabelFault(names, f"{names}: variants of one locus, of which an animal has two copies in all")
        )
        return
    for claim in own:
        if claim.claim is Claim.NONE:
            continue
        others = [other for other in sure if other is not claim]
        _one_gene(claim, others, shows, carries, faults)


def _one_gene(
    claim: GeneClaim,
    others: list[GeneClaim],
    shows: list[Shown],
    carries: list[Carried],
    faults: list[LabelFault],
) -> None:
    gene, visible = claim.gene, _would_show(claim, others)
    if claim.claim is Claim.ONE and not visible:
        room = len(others) < 2 and all(other.claim is not Claim.TWO for other in others)
        if room:
            carries.append(Carried(gene.name, claim.probability))
        else:
            full = " and ".join(other.words for other in others)
            faults.append(
                LabelFault(claim.words, f"{full} leaves no room for {gene.name}: they are of one locus")
            )
    elif claim.claim is Claim.ONE and not claim.certain:
        why = f"one copy of {gene.name} would show" + (f" beside {others[0].gene.name}" if others else "")
        faults.append(
            LabelFault(claim.words, f"{why}: write '{gene.name}' if it shows, 'not {gene.name}' if not")
        )
    elif not visible:
        over = others[0].gene.name
        faults.append(
            LabelFault(
                gene.name, f"{gene.name} can't show beside {over}, which hides it: write 'het {gene.name}'"
            )
        )
    else:
        shows.append(Shown(gene.name, _copies(claim)))


def _would_show(claim: GeneClaim, others: list[GeneClaim]) -> bool:
    """Whether the gene shows if it is there, given what else is surely at its locus."""
    gene = claim.gene
    for other in (entry.gene for entry in others):
        if gene.rank is not None and other.rank is not None and other.rank < gene.rank:
            return False
    if gene.inheritance is not Inheritance.RECESSIVE or claim.claim is not Claim.ONE:
        return True
    return any(o.claim is not Claim.ONE or o.gene.inheritance is not Inheritance.RECESSIVE for o in others)


def _copies(claim: GeneClaim) -> int | None:
    if claim.gene.inheritance is Inheritance.RECESSIVE:
        return None
    if claim.claim is Claim.SHOWS:
        return 1 if claim.gene.inheritance is Inheritance.INCOMPLETE else None
    return 2 if claim.claim is Claim.TWO else 1
