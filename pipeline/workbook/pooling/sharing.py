"""Which animals of several books are one: shared on purpose, by a word in the Notes or by a sheet that says so.

An animal is shared where two books have its ID and both begin its Notes with 'Shared', or where a row of the sheet
Shared animals says that two are the same. All other IDs are the book's own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from pipeline.problems import Problem, Severity
from pipeline.workbook.checks.wording import fold, listed, spaceless
from pipeline.workbook.pooling.genes import Clash, clash_problems, gene_clashes
from pipeline.workbook.pooling.offer import Mapped, Offer, Recorded
from pipeline.workbook.pooling.spellings import spelling_problems

AnimalsOf = Callable[[str], Mapping[str, Recorded]]
"""All animals of a book, by ID."""
Group = tuple[Recorded, ...]
"""One animal as its books record it, in the order of the books' names."""
_APART = "Until they agree each book is answered with its own record alone."


@dataclass
class Linked:
    """What the books of a run have in common.

    `shared` are the animals that are joined; `pools` the books linked by them, directly or by way of others;
    `problems` what to mend, by book.
    """

    shared: list[Group] = field(default_factory=list)
    pools: list[tuple[str, ...]] = field(default_factory=list)
    problems: dict[str, list[Problem]] = field(default_factory=dict)

    def tell(
        self, offer: Offer, row: int | None, column: str | None, message: str, hint: str, *, table: str = "animals",
        severity: Severity = Severity.WARNING, value: str = "",
    ) -> None:  # fmt: skip
        """Add a problem about a cell of a book."""
        problem = Problem(severity, offer.place(table, row, column), message, hint, value)
        self.problems.setdefault(offer.book, []).append(problem)


def linked(offers: Sequence[Offer], animals_of: AnimalsOf) -> Linked:
    """The animals that the books share, the pools they make, and a problem for each record or gene that clashes.

    The order of the offers makes no difference. A lone book shares nothing.
    """
    found = Linked()
    if len(offers) < 2:
        return found
    by_name = {offer.book: offer for offer in sorted(offers, key=lambda offer: offer.book)}
    groups = _without_clashes(list(_groups(by_name, animals_of, found)), by_name, found)
    clashes = gene_clashes(list(by_name.values()))
    spelled = spelling_problems(list(by_name.values()))
    found.problems = _added(_added(clash_problems(clashes), spelled), found.problems)
    pools = _Pools(clashes)
    for group in groups:
        between = pools.join({one.book for one in group})
        if not between:
            found.shared.append(group)
            continue
        about = listed(sorted({clash.about for clash in between}))
        for one in group:
            others = listed([other.book for other in group if other is not one])
            found.tell(
                by_name[one.book], one.row, "id",
                f"{one.id} is shared with {others}, but is not weighed together: the books clash about {about}.",
                "Agree about that first.", value=one.id,
            )  # fmt: skip
    found.pools = pools.all()
    return found


def _added(one: dict[str, list[Problem]], other: dict[str, list[Problem]]) -> dict[str, list[Problem]]:
    return {book: [*one.get(book, ()), *other.get(book, ())] for book in {**one, **other}}


class _Pools:
    """Books joined step by step, as long as no two of a pool clash."""

    def __init__(self, clashes: Iterable[Clash]) -> None:
        self._clashes = tuple(clashes)
        self._pool: dict[str, frozenset[str]] = {}

    def join(self, books: set[str]) -> list[Clash]:
        """Put the pools of these books together; where they clash, nothing is done, and the clashes told."""
        whole = frozenset(books).union(*(self._pool.get(book, {book}) for book in books))
        between = [clash for clash in self._clashes if clash.parts(whole)]
        if not between:
            self._pool |= dict.fromkeys(whole, whole)
        return between

    def all(self) -> list[tuple[str, ...]]:
        """Every pool of two books or more."""
        return sorted({tuple(sorted(pool)) for pool in self._pool.values() if len(pool) > 1})


# --- which are the same ---


def _groups(books: Mapping[str, Offer], animals_of: AnimalsOf, found: Linked) -> Iterator[Group]:
    """Animals said to be one, in the order of their first book and ID."""
    same = _Same()
    marked: dict[str, list[Recorded]] = {}
    for offer in books.values():
        for one in offer.marked:
            marked.setdefault(spaceless(one.id), []).append(one)
    for alike in marked.values():
        same.put(*alike)
    for offer in books.values():
        for row in offer.mapped:
            pair = [_named(offer, row, *side, books, animals_of, found) for side in _sides(offer, row)]
            same.put(*(one for one in pair if one))
    for group in same.groups():
        if len({one.book for one in group}) == len(group) > 1:
            yield group
        elif len(group) > 1:
            _tell_twice(group, books, found)
        elif group[0] in books[group[0].book].marked:
            found.tell(
                books[group[0].book], group[0].row, "notes",
                f"{group[0].id} is marked as shared, and no other book of this run marks an animal of that ID.",
                "Mark it in the other book too, or name both IDs on a sheet Shared animals.", severity=Severity.NOTE,
            )  # fmt: skip


class _Same:
    """Animals put together, whoever says so."""

    def __init__(self) -> None:
        self._group: dict[tuple[str, str], list[Recorded]] = {}

    def put(self, *animals: Recorded) -> None:
        """These are one, and so is all that was put with any of them."""
        whole: dict[tuple[str, str], Recorded] = {}
        for animal in animals:
            whole |= {(one.book, one.id): one for one in self._group.get((animal.book, animal.id), [animal])}
        self._group |= dict.fromkeys(whole, list(whole.values()))

    def groups(self) -> list[Group]:
        """Every group, each by book, all by their first animals."""
        own = {id(group): group for group in self._group.values()}.values()
        groups = [tuple(sorted(group, key=lambda one: (one.book, one.id))) for group in own]
        return sorted(groups, key=lambda group: (group[0].book, group[0].id))


def _sides(offer: Offer, row: Mapped) -> tuple[tuple[str, str, str, str], ...]:
    """Book, ID and the fields they stand in, of both animals of a row."""
    return (row.book or offer.book, row.id, "in_book", "id"), (
        row.same_book,
        row.same_id,
        "same_as_book",
        "same_as_id",
    )


def _named(
    offer: Offer, row: Mapped, book: str, animal: str, book_field: str, id_field: str,
    books: Mapping[str, Offer], animals_of: AnimalsOf, found: Linked,
) -> Recorded | None:  # fmt: skip
    """The animal that one side of a row names; None, and a problem, where there is none."""
    known = [name for name in books if _is(name, book)]
    if len(known) != 1:
        why = "not among the books of this run" if not known else f"said of {listed(known)} alike"
        found.tell(
            offer, row.row, book_field, f"The book {book} is {why}; the row is passed over.",
            "Write the book's file name, and its folder where two have one name.",
            table="shared_animals", severity=Severity.NOTE, value=book,
        )  # fmt: skip
        return None
    own = {spaceless(one): one for one in animals_of(known[0])}
    if spaceless(animal) not in own:
        found.tell(
            offer, row.row, id_field, f"{known[0]} has no animal {animal}; the row is passed over.",
            "Write the ID as it stands on that book's Animals sheet.", table="shared_animals", value=animal,
        )  # fmt: skip
        return None
    return animals_of(known[0])[own[spaceless(animal)]]


def _is(name: str, said: str) -> bool:
    """Whether a book's name is what a keeper wrote: its ending, its folder and case may be left out."""
    name, said = name.casefold(), said.strip().replace("\\", "/").casefold()
    whole = {name, name.rpartition(".")[0]}
    return bool({said, said.rpartition("/")[2]} & (whole | {part.rpartition("/")[2] for part in whole})) and (
        "/" not in said or "/" not in name or said in whole
    )


def _tell_twice(group: Group, books: Mapping[str, Offer], found: Linked) -> None:
    for one in group:
        twins = [other.id for other in group if other.book == one.book and other is not one]
        if twins:
            found.tell(
                books[one.book], one.row, "id", f"{one.id} and {listed(twins)} are both said to be one shared animal.",
                "Keep one row of the animal in this book, or correct what says that they are the same.", value=one.id,
            )  # fmt: skip


# --- whether their records agree ---


def _without_clashes(groups: list[Group], books: Mapping[str, Offer], found: Linked) -> list[Group]:
    """Groups whose records agree. Where one falls, those that have it for a parent are asked again."""
    told: set[tuple[str, str, str]] = set()
    while True:
        whole = {(one.book, one.id): at for at, group in enumerate(groups) for one in group}
        fallen = set()
        for at, group in enumerate(groups):
            for column, said in _clashing(group, whole):
                fallen.add(at)
                for one in group:
                    if (one.book, one.id, column) not in told:
                        told.add((one.book, one.id, column))
                        found.tell(
                            books[one.book],
                            one.row,
                            column,
                            _clash_words(one, column, group, said),
                            _APART,
                            value=said(one),
                        )
        if not fallen:
            return groups
        groups = [group for at, group in enumerate(groups) if at not in fallen]


Said = Callable[[Recorded], str]


def _clashing(group: Group, whole: Mapping[tuple[str, str], int]) -> Iterator[tuple[str, Said]]:
    """Columns in which the books of a shared animal differ; a blank differs from nothing."""

    def species(one: Recorded) -> str:
        return one.species

    def sex(one: Recorded) -> str:
        return one.sex or ""

    def born(one: Recorded) -> str:
        return one.born.isoformat() if one.born else str(one.born_year or "")

    def parent(which: str) -> Said:
        return lambda one: getattr(one, which) or ""

    if len({fold(one.species) for one in group}) > 1:
        yield "species", species
    if len({one.sex for one in group if one.sex}) > 1:
        yield "sex", sex
    if _ages_differ(group):
        yield "born", born
    for which in ("sire", "dam"):
        named = [(one.book, own) for one in group if (own := getattr(one, which))]
        if len({whole.get(name, name) for name in named}) > 1:
            yield which, parent(which)


def _ages_differ(group: Group) -> bool:
    days = {one.born for one in group if one.born}
    years = {one.born.year if one.born else one.born_year for one in group if one.born or one.born_year}
    return len(days) > 1 or len(years) > 1


def _clash_words(one: Recorded, column: str, group: Group, said: Said) -> str:
    others = [f"{said(other) or 'blank'} in {other.book}" for other in group if other is not one]
    what = "Born" if column == "born" else column.capitalize()
    end = "; parents must be shared themselves to be the same" if column in ("sire", "dam") else ""
    return f"{what} of the shared animal {one.id} is {said(one) or 'blank'} here, but {listed(others)}{end}."
