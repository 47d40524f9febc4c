"""One animal: everything the findings and the book say of it, gathered for its sheet."""

from pipeline.findings.one_animal.ancestors import Ancestor
from pipeline.findings.one_animal.answer import TABLES, OneAnimal, one_animal
from pipeline.findings.one_animal.litters import Litter, Offspring

__all__ = ["TABLES", "Ancestor", "Litter", "Offspring", "OneAnimal", "one_animal"]
