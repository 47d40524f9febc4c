"""What is written of an animal, weighed against a genotype it might have: the model's words without the package's arrays."""

from math import prod

from pipeline.genetics.crosses import genotype
from pipeline.genetics.genes import Inheritance
from pipeline.genetics.statements import shown_at


class Labels:
    """The labels of a family at the loci of one linkage group."""

    def __init__(self, family, group, settings):
        self.family, self.group, self.settings = family, group, settings
        self.known = {}

    def error(self, row):
        return getattr(self.settings, "wrong_label_" + row.basis.value.replace(" ", "_"))

    def said(self, animal, state, percents=False):
        """Likelihood of what is recorded of an animal with recorded parents."""
        key = (animal, state)
        if key not in self.known:
            self.known[key] = self._said(animal, state, percents)
        return self.known[key]

    def _said(self, animal, state, percents):
        row, (_, d) = self.family.animals[animal], state
        looked = self.family.looks.get(animal)
        if row.label is None:
            return self._hatched(looked, d) if looked and looked.label is not None else 1.0
        value = prod(self._look(row.label, locus, genotype(d, i)) for i, locus in enumerate(self.group.loci))
        if row.basis.value != "proved" and not percents:
            return value
        if len(d) == 2:
            for i, locus in enumerate(self.group.loci):
                value *= self._claimed(row.label, locus, genotype(d, i), self.error(row), percents)
        return value

    def _claimed(self, label, locus, own, error, percents):
        value = 1.0
        for k, gene in enumerate(locus.genes, 1):
            n = own.count(k)
            for c in label.carries:
                if c.gene == gene.name and c.probability is not None and (percents or c.probability == 1):
                    p = float(c.probability) * (1 - error)
                    value *= {0: 1 - p, 1: p, 2: error}[n]
            if gene.name in label.lacks:
                value *= error if n else 1 - error
            for s in label.shows:
                if s.gene == gene.name and s.copies and gene.inheritance is Inheritance.DOMINANT:
                    value *= 1 - error if n == s.copies else error
        return value

    def _hatched(self, young, d):
        value = 1.0
        for i, locus in enumerate(self.group.loci):
            if not locus.later and not {gene.name for gene in locus.genes} & young.unreadable:
                value *= self._look(young.label, locus, genotype(d, i))
        return value

    def _look(self, label, locus, own):
        """1 - m for the class the animal is of, m shared among the others."""
        classes = {locus.appearance(g) for g in self._pool(locus, own)}
        m = max(self.settings.misread if gene.misread is None else gene.misread for gene in locus.genes)
        if self._elsewhere(locus, shown_at(label, locus), own) and shown_at(label, locus) not in classes:
            return m / len(classes)
        if shown_at(label, locus) not in classes or len(classes) == 1:
            return 1.0
        return 1 - m if locus.appearance(own) == shown_at(label, locus) else m / (len(classes) - 1)

    @staticmethod
    def _elsewhere(locus, look, own):
        """Whether the sex with the other number of copies can look so."""
        others = locus.genotypes(single_copy=len(own) == 2)
        return locus.sex_linked and look in [locus.appearance(g) for g in others if locus.viable(g)]

    @staticmethod
    def _pool(locus, own):
        """The viable genotypes with as many copies as `own`."""
        return [g for g in locus.genotypes(single_copy=len(own) == 1) if locus.viable(g)]

    def _founder(self, label, locus, own, error):
        """Single-gene loci in words; a series is left to labels without hets."""
        base = self._random(locus, own, self.settings.background_carrier)
        if label is None:
            return base
        if shown_at(label, locus):
            return self._founder_that_shows(label, locus, own, error, base)
        claims = {c.gene: c.probability for c in label.carries}
        name = locus.genes[0].name
        if len(locus.genes) == 1 and name in claims and len(own) == 2:
            p = (0.5 if claims[name] is None else float(claims[name])) * (1 - error)
            return {0: 1 - p, 1: p, 2: 0}[own.count(1)]
        if len(locus.genes) == 1 and name in label.lacks:
            claimed = {0: 1 - error, 1: error, 2: 0}
            return claimed[own.count(1)] / sum(claimed[g.count(1)] for g in self._pool(locus, own))
        return base * self._look(label, locus, own)

    def _founder_that_shows(self, label, locus, own, error, base):
        look, pool = shown_at(label, locus), self._pool(locus, own)
        shown = {s.gene: s.copies for s in label.shows}
        hets = {c.gene for c in label.carries}

        def fits(g):
            return locus.appearance(g) == look and (
                len(g) == 1
                or all(shown.get(gene.name) in (None, g.count(k)) for k, gene in enumerate(locus.genes, 1))
            )

        assert not hets & {gene.name for gene in locus.genes}
        chosen = [g for g in pool if fits(g)]
        if not chosen:
            return base * error
        inside = own in chosen
        alike = [g for g in pool if (g in chosen) == inside]
        whole = sum(self._random(locus, g, self.settings.background_carrier) for g in alike)
        return (1 - error if inside else error) * base / whole

    def _random(self, locus, own, background):
        f = background / 2

        def raw(g):
            orders = 2 if len(g) == 2 and g[0] != g[1] else 1
            return orders * prod(1 - len(locus.genes) * f if a == 0 else f for a in g)

        return raw(own) / sum(raw(g) for g in self._pool(locus, own))
