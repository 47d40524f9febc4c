"""Genes that two books may only spell otherwise: 'A-nery' in one and 'Anery' in another are two until a keeper says that they
are one. Labels are read by the spellings of their own book alone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from pipeline.genetics.joined.same_genes import GeneKey, GeneKeys
from pipeline.problems import Problem, Severity
from pipeline.workbook.checks.wording import fold
from pipeline.workbook.pooling.genes import Claim, elsewhere, gene_keys
from pipeline.workbook.pooling.offer import Offer

Spelled = dict[GeneKey, dict[str, Claim]]
"""Genes of one species that have the same letters, by the books that list each."""


def spelling_problems(offers: Sequence[Offer]) -> dict[str, list[Problem]]:
    """A problem in each book that lists a gene whose letters another book gives to another gene, naming that. A book that
    lists both says itself that they are two."""
    found: dict[str, dict[Problem, None]] = {}
    for spelled in _alike(offers, gene_keys(offers)):
        for gene, own in spelled.items():
            rest = (listed for other, listed in spelled.items() if other != gene)
            others = [claim for listed in rest if not listed.keys() & own.keys() for claim in listed.values()]
            for book, claim in own.items() if others else ():
                found.setdefault(book, {})[_problem(claim, others)] = None
    return {book: list(problems) for book, problems in found.items()}


def _alike(offers: Iterable[Offer], keys: GeneKeys) -> Iterator[Spelled]:
    """What has the same letters in a species and is more than one gene."""
    found: dict[tuple[str, str], Spelled] = {}
    for offer in offers:
        for species, genes in offer.genes.items():
            for gene, row in genes:
                key = keys.of(species, gene.name)
                for name in (gene.name, *gene.aliases):
                    field = "gene" if name == gene.name else "also_written"
                    claim = Claim(offer, species, gene.name, row, field, name)
                    same = found.setdefault((fold(species), _letters(name)), {})
                    same.setdefault(key, {}).setdefault(offer.book, claim)
    return (spelled for spelled in found.values() if len(spelled) > 1)


def _letters(name: str) -> str:
    """A name without spaces and hyphens; a plus is no slip ('T+ Albino', 'T- Albino')."""
    return "".join(sign for sign in fold(name) if sign.isalnum() or sign == "+") or name


def _problem(claim: Claim, others: Sequence[Claim]) -> Problem:
    first, where = elsewhere(others)
    return Problem(
        Severity.WARNING,
        claim.place,
        f"{claim.said} ({claim.species}) may be the {first.said} of {where}; spelled differently, they are taken for two genes.",
        f"If they are one, write {first.said} under Also written here, or spell it alike in all books.",
        claim.said,
    )
