"""The model summed the long way: every sire of every clutch, every diplotype of every animal, one at a time.

Written from the model's words without the package's arrays; slow, for pedigrees of half a dozen animals.
"""

from itertools import combinations_with_replacement, product
from math import prod

from pipeline.genetics.carriers.families import families
from pipeline.genetics.crosses import gametes, genotype, viable
from pipeline.genetics.genes import Inheritance
from pipeline.genetics.statements import shown_at


def posteriors(collection):
    """A (P of all records, states by group and animal, candidates by clutch) a family."""
    found = families(collection)
    abroad = {}
    for family in found:
        recorded, worlds = [0 for _ in family.clutches], {}
        for g in range(len(collection.catalogues[family.species].groups)):
            weight, own = _group(collection, family, g, recorded, {}, worlds)
            for animal, states in own.items():
                abroad[g, animal] = {s: p / weight for s, p in states.items()} if weight else None
    return [_family(collection, family, abroad) for family in found]


def _family(collection, family, abroad):
    groups = range(len(collection.catalogues[family.species].groups))
    total, sires = 0.0, [[0.0] * len(c.candidates) for c in family.clutches]
    sums = [{} for _ in groups]
    mass, worlds = 0.0, {}
    for choice in product(*(range(len(c.candidates)) for c in family.clutches)):
        if _looped(family, choice):
            continue
        prior = prod(c.candidates[i].prior for c, i in zip(family.clutches, choice, strict=True))
        mass += prior
        parts = [_group(collection, family, g, choice, abroad, worlds) for g in groups]
        weight = prior * prod(p for p, _ in parts)
        total += weight
        for k, i in enumerate(choice):
            sires[k][i] += weight
        for g, (own, states) in enumerate(parts):
            for animal, table in states.items():
                into = sums[g].setdefault(animal, {})
                for state, p in table.items():
                    into[state] = into.get(state, 0) + (weight * p / own if own else 0)
    states = [{a: {s: p / total for s, p in t.items()} for a, t in own.items()} for own in sums]
    return total / mass, states, [[p / total for p in own] for own in sires]


def _looped(family, choice):
    parents = {h.animal: {h.parent} for h in family.halves}
    for clutch, i in zip(family.clutches, choice, strict=True):
        for child in clutch.children:
            parents[child] = {clutch.dam, clutch.candidates[i].male}

    def reaches(animal, start, seen):
        own = [p for p in parents.get(animal, ()) if p and p not in seen]
        return start in own or any(reaches(p, start, seen | {p}) for p in own)

    return any(reaches(start, start, set()) for start in parents)


def _group(collection, family, g, choice, abroad, worlds):
    """P(records of one linkage group | who sired what), and the joint weight of each animal's states."""
    catalogue = collection.catalogues[family.species]
    if g not in worlds:
        worlds[g] = _World(collection, family, catalogue, catalogue.groups[g])
    world = worlds[g]
    sires = []
    guests = {}
    for k, (clutch, i) in enumerate(zip(family.clutches, choice, strict=True)):
        male = clutch.candidates[i].male
        if male is not None and male in family.animals:
            sires.append(male)
        else:
            name = f"?{k if male is None else male}"
            guests[name] = abroad.get((g, male)) if male is not None else None
            if guests[name] is None:
                guests[name] = {("M", d): p for d, p in world.background("M").items()}
            sires.append(name)
    parents = {}
    for clutch, sire in zip(family.clutches, sires, strict=True):
        parents |= dict.fromkeys(clutch.children, (clutch.dam, sire))
    order = list(guests)
    waiting = list(family.animals)
    halves = {h.animal: h for h in family.halves}
    while waiting:
        animal = next(
            a
            for a in waiting
            if all(p in order for p in parents.get(a, ())) and (a not in halves or halves[a].parent in order)
        )
        order.append(animal)
        waiting.remove(animal)
    total, sums = 0.0, {a: {} for a in family.animals}
    stack = [({}, 1.0)]
    while stack:
        chosen, weight = stack.pop()
        if len(chosen) == len(order):
            weight *= prod(
                world.tallies(clutch, chosen[clutch.dam], chosen[sire])
                * world.sexes_of(clutch, chosen[clutch.dam], chosen[sire])
                for clutch, sire in zip(family.clutches, sires, strict=True)
            )
            total += weight
            for animal in sums:
                state = chosen[animal]
                sums[animal][state] = sums[animal].get(state, 0) + weight
            continue
        animal = order[len(chosen)]
        if animal in guests:
            options = guests[animal]
        elif animal in parents:
            dam, sire = parents[animal]
            young = world.young(chosen[dam], chosen[sire], world.sex(animal))
            options = {s: p * world.said(animal, s) for s, p in young.items()}
        elif animal in halves:
            options = world.half(halves[animal], chosen)
        else:
            options = world.founder(animal)
        stack += [({**chosen, animal: s}, weight * p) for s, p in options.items() if p > 0]
    return total, sums


class _World:
    def __init__(self, collection, family, catalogue, group):
        self.family, self.group, self.settings = family, group, collection.settings
        self.single = catalogue.sex_chromosomes.single_copy_sex if group.sex_linked else None
        self.roles = {h.parent: h.role for h in family.halves}
        for clutch in family.clutches:
            self.roles[clutch.dam] = "F"
            for c in clutch.candidates:
                if c.recorded:
                    self.roles[c.male] = "M"
        self.couples, self.known = {}, {}

    def sex(self, animal):
        looked = self.family.looks.get(animal)
        return self.roles.get(animal) or self.family.animals[animal].sex or (looked.sex if looked else None)

    def sexes(self, sex):
        """The sexes to be told apart; None stands for either where it makes no difference."""
        if self.single is None:
            return [None]
        return [sex] if sex else ["F", "M"]

    def copies(self, sex):
        return 1 if self.single is not None and sex == self.single else 2

    def all(self, sex):
        haplotypes = list(product(*(range(len(locus.genes) + 1) for locus in self.group.loci)))
        pairs = combinations_with_replacement(haplotypes, self.copies(sex))
        return [d for d in pairs if viable(d, self.group)]

    def background(self, sex):
        return self._phased(
            sex, lambda locus, own: self._random(locus, own, self.settings.background_carrier)
        )

    def _random(self, locus, own, background):
        f = background / 2

        def raw(g):
            orders = 2 if len(g) == 2 and g[0] != g[1] else 1
            return orders * prod(1 - len(locus.genes) * f if a == 0 else f for a in g)

        return raw(own) / sum(raw(g) for g in locus.genotypes(single_copy=len(own) == 1) if locus.viable(g))

    def _phased(self, sex, odds):
        """Genotype weights as diplotype weights; every phase alike."""
        n = len(self.group.loci)
        haplotypes = product(*(range(len(locus.genes) + 1) for locus in self.group.loci))
        phases = {}
        for d in combinations_with_replacement(list(haplotypes), self.copies(sex)):
            key = tuple(genotype(d, i) for i in range(n))
            phases[key] = phases.get(key, 0) + 1
        found = {}
        for d in self.all(sex):
            key = tuple(genotype(d, i) for i in range(n))
            found[d] = (
                prod(odds(locus, own) for locus, own in zip(self.group.loci, key, strict=True)) / phases[key]
            )
        return found

    def founder(self, animal):
        row = self.family.animals[animal]
        error = self.error(row)
        found = {}
        sexes = self.sexes(self.sex(animal))
        for sex in sexes:
            own = self._phased(sex, lambda locus, g: self._founder(row.label, locus, g, error))
            names = {gene.name for locus in self.group.loci for gene in locus.genes}
            if (
                len(sexes) == 2
                and sex == self.single
                and row.label
                and any(c.gene in names for c in row.label.carries)
            ):
                continue
            found |= {(sex, d): p / len(sexes) for d, p in own.items()}
        return found

    def error(self, row):
        return getattr(self.settings, "wrong_label_" + row.basis.value.replace(" ", "_"))

    def _founder(self, label, locus, own, error):
        """Single-gene loci in words; a series is left to labels without hets."""
        base = self._random(locus, own, self.settings.background_carrier)
        if label is None:
            return base
        look = shown_at(label, locus)
        pool = [g for g in locus.genotypes(single_copy=len(own) == 1) if locus.viable(g)]
        if look:
            shown = {s.gene: s.copies for s in label.shows}
            hets = {c.gene for c in label.carries}

            def fits(g):
                return locus.appearance(g) == look and (
                    len(g) == 1
                    or all(
                        shown.get(gene.name) in (None, g.count(k)) for k, gene in enumerate(locus.genes, 1)
                    )
                )

            assert not hets & {gene.name for gene in locus.genes}
            chosen = [g for g in pool if fits(g)]
            if not chosen:
                return base * (error if self._elsewhere(locus, look, own) else 1)
            inside = own in chosen
            whole = sum(
                self._random(locus, g, self.settings.background_carrier)
                for g in pool
                if (g in chosen) == inside
            )
            return (1 - error if inside else error) * base / whole
        claims = {c.gene: c.probability for c in label.carries}
        name = locus.genes[0].name
        if len(locus.genes) == 1 and name in claims and len(own) == 2:
            p = (0.5 if claims[name] is None else float(claims[name])) * (1 - error)
            return {0: 1 - p, 1: p, 2: 0}[own.count(1)]
        if len(locus.genes) == 1 and name in label.lacks:
            claimed = {0: 1 - error, 1: error, 2: 0}
            return claimed[own.count(1)] / sum(claimed[g.count(1)] for g in pool)
        return base * self._look(label, locus, own)

    def _look(self, label, locus, own):
        """1 - m for the class the animal is of, m shared among the others."""
        pool = [g for g in locus.genotypes(single_copy=len(own) == 1) if locus.viable(g)]
        classes = {locus.appearance(g) for g in pool}
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

    def young(self, dam, sire, sex):
        """Living young of two states, the dead struck and the rest rescaled."""
        key = (dam[1], sire[1], sex)
        if key in self.couples:
            return self.couples[key]
        found = {}
        for own in self.sexes(sex):
            for (a, p), (b, q) in product(
                gametes(dam[1], self.group).items(), gametes(sire[1], self.group).items()
            ):
                one = (a,) if own == "M" else (b,)
                d = one if self.copies(own) == 1 else tuple(sorted((a, b)))
                if viable(d, self.group):
                    found[own, d] = found.get((own, d), 0) + float(p * q)
        whole = sum(found.values())
        self.couples[key] = {s: p / whole for s, p in found.items()} if whole else {}
        return self.couples[key]

    def sexes_of(self, clutch, dam, sire):
        """Twice P(sex | alive) of every sexed young of a hatched clutch; what was kept without a row was chosen."""
        sexed = [(y.sex, y.count) for y in clutch.tallies if y.outcome.value != "slug"]
        sexed += [(self.sex(child), 1) for child in clutch.children if clutch.key[0]]
        if self.single is None:
            return 1.0
        born = self.young(dam, sire, None)
        shares = {own: 2 * sum(p for (sex, _), p in born.items() if sex == own) for own in "FM"}
        return prod(shares[sex] ** count for sex, count in sexed if sex)

    def half(self, half, chosen):
        found = {}
        other = "M" if half.role == "F" else "F"
        for d, p in self.background(other).items():
            couple = (chosen[half.parent], (other, d))
            young = self.young(*(couple if half.role == "F" else couple[::-1]), self.sex(half.animal))
            for s, q in young.items():
                found[s] = found.get(s, 0) + p * q * self.said(half.animal, s, percents=True)
        return found

    def tallies(self, clutch, dam, sire):
        key = (clutch.key, dam[1], sire[1])
        if key not in self.known:
            self.known[key] = self._tallies(clutch, dam, sire)
        return self.known[key]

    def _tallies(self, clutch, dam, sire):
        value = 1.0
        for young in clutch.tallies:
            if young.label is not None and young.outcome.value != "slug":
                each = self.young(dam, sire, young.sex)
                value *= sum(p * self._hatched(young, d) for (_, d), p in each.items()) ** young.count
        return value
