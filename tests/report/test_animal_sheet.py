"""The animal sheet: what it tells of an animal, how it is written, and that hostile texts stay texts."""

import re
from html.parser import HTMLParser

import pandas as pd
import pytest

from pipeline.errors import RequestError
from pipeline.findings.asked import find_animal
from pipeline.findings.one_animal import one_animal
from pipeline.findings.one_animal.ancestors import ancestors
from pipeline.one_animal import run_sheet
from pipeline.questions import answers
from pipeline.report.animal_sheet import sheet_html, sheet_path, write_sheet
from pipeline.report.animal_sheet.words import cut
from pipeline.store.database import Store
from pipeline.workbook.checking import checked
from pipeline.workbook.reading import read_book
from tests.report.sheet_books import AS_OF, HOSTILE, family_book, hostile_book


class Reader(HTMLParser):
    """The page's elements, its text, and the nested list of its tree."""

    def __init__(self, text):
        super().__init__()
        self.elements, self.words, self.depths, self._lists = [], [], [], 0
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        self.elements.append((tag, dict(attributes)))
        self._lists += tag == "ul"
        self.depths += [self._lists] if tag == "li" else []

    def handle_endtag(self, tag):
        self._lists -= tag == "ul"

    def handle_data(self, data):
        self.words.append(data)

    @property
    def text(self):
        return " ".join(" ".join(self.words).split())


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    return family_book(tmp_path_factory.mktemp("family") / "family.xlsx")


@pytest.fixture(scope="module")
def page(book):
    return run_sheet(book, "K1", as_of=AS_OF).read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def analysed(book):
    """The checked book and its findings, for sheets made without the run."""
    read = checked(read_book(book), AS_OF)
    with Store() as store:
        store.load(read.book.tables)
        for name, frame in answers(read, store, AS_OF, questions=("ratios", "carriers", "kin", "growth")):
            store.save(name, frame.assign(book=read.book.name))
        return read.collection, store.findings(), store.records("species", book=read.book.name)


def sheet_of(analysed, animal, **changed):
    collection, findings, species = analysed
    found = one_animal(collection, collection.animals[animal], {**findings, **changed}, species)
    return Reader(sheet_html(found, book="family.xlsx", keeper="", as_of=AS_OF)).text


def test_sheet__tells_who_what_and_on_what_grounds(page):
    text = Reader(page).text
    assert "K1 Fern" in text and "female · born 2018-06-01 · keeping" in text
    assert "The book says: Motley (label: bred here)" in text
    assert "no young counted" not in text and "40 young counted" in text
    assert "An Invented Keeper as of 1 November 2025" in text


def test_sheet__draws_the_weights_for_light_and_dark_paper(page):
    charts = re.findall(
        r'class="plot (light|dark)" role="img" aria-label="K1: growth toward 2,000 g; 11 weighings.*?</svg>',
        page,
        re.S,
    )
    assert charts == ["light", "dark"]
    assert len(set(re.findall(r">20\d\d(?:-\d\d)?</text>", page))) >= 3


def test_sheet__without_weighings_there_is_no_chart(analysed):
    text = sheet_of(analysed, "M2")
    assert "g by day" not in text and "Breeding weight 700 g" in text


def test_sheet__claims_agree_with_the_carrier_odds(analysed):
    """What is claimed of Y1, young of an Anery male: het Anery for sure, by Mendel's rule."""
    collection, findings, species = analysed
    found = one_animal(collection, collection.animals["Y1"], findings, species)
    anery = found.genes.set_index("gene").loc["Anery"]
    assert found.claim == found.book_label == "Motley, het Anery"
    assert (anery["label"], anery["says"]) == ("100% het", "fair")
    assert "Anery 100% het" in sheet_of(analysed, "Y1")


def test_sheet__draws_three_generations_as_a_nested_list(page):
    tree = page[page.index('class="tree"') : page.index("Growth and readiness")]
    assert sorted(Reader(tree).depths) == [1] * 2 + [2] * 4 + [3] * 8
    assert tree.count("on both sides") == 6


def test_ancestors__mark_those_of_both_sides(analysed):
    sire, dam = ancestors(analysed[0], "K1")
    assert [(p.id, p.both_sides) for p in sire.parents + dam.parents] == [
        ("P0", True), ("P1", False), ("P0", True), ("P3", False),
    ]  # fmt: skip
    assert all(great.parents == () for p in sire.parents for great in p.parents)


def test_sheet__inbreeding_of_young_of_half_sibs_is_an_eighth(page):
    """Half sibs: F = (1/2)^3, Wright 1922 (from memory)."""
    text = Reader(page).text
    assert "Inbreeding (Wright's F): 12.5 %" in text
    assert "with what each adds: P0 12.5 %" in text


def test_sheet__founders_have_no_tree_and_no_inbreeding(analysed):
    text = sheet_of(analysed, "M1")
    assert "Neither parent is in the book" in text and "not in the book" not in text


def test_sheet__tells_its_litters_and_pools_repeated_ones(page):
    text = Reader(page).text
    rows = [
        " ".join(row.split()) for row in re.findall(r"20\d\d 2\d-1 as dam .*?(?=20\d\d 2\d-1|48 eggs)", text)
    ]
    assert rows[0].startswith("2023 23-1 as dam M1 1 2023-06-27 13 of 16 2 stillborn, 1 slug ●")
    assert "all together 26 of 32" in rows[2]
    assert "M1 or M2" in rows[3] and rows[4].endswith("no result yet")
    assert "48 eggs or young on record as a parent, 39 of them live; 1 with a row of their own: Y1." in text


def test_sheet__a_male_among_several_may_be_the_sire(analysed):
    text = sheet_of(analysed, "M2")
    assert "2025 25-1 one of several sires K1" in text
    assert "16 more that it may have sired, as one of several males." in text


def test_sheet__care_and_welfare_are_the_book_s_own(page):
    text = Reader(page).text
    for words in ("Boa imperator", "2,000 g, 36 months", "Warm side and a cool side.", "Watch the spine."):
        assert words in text
    assert "Recorded as lethal in two copies" in text
    assert "Wildlife law and permits" in text and "A price is no promise" not in text


def test_sheet__keeps_money_and_private_notes_to_the_keeper(page):
    assert "424242" not in page and "424,242" not in page and "private words" not in page


def test_sheet__tells_suspicions_of_the_animal_and_its_pairings_only(analysed):
    row = {
        "book": "family.xlsx", "rank": 1, "species": "Common boa", "gene": "Anery", "recorded": "M1", "likelier": "M2",
        "probability": 0.97, "bayes_factor": 90.0, "evidence": "7 young", "next_step": "Pair them again.",
    }  # fmt: skip
    told = [
        {**row, "kind": "parentage", "subject": "25-1", "pairing": "25-1"},
        {**row, "kind": "label", "subject": "M1", "pairing": "25-1", "recorded": "Anery"},
    ]
    text = sheet_of(analysed, "K1", suspicions=pd.DataFrame(told))
    assert "25-1, parentage: recorded M1; likelier M2 (97 % that the record is wrong). Next: Pair" in text
    assert "M1, label" not in text
    assert "Records to look at" not in sheet_of(analysed, "K1", suspicions=pd.DataFrame(told[1:]))


def test_sheet__tells_problems_of_its_own_row(analysed):
    row = analysed[0].animals["K1"].row
    rows = [
        {"severity": "warning", "book": "family.xlsx", "sheet": sheet, "cell": cell, "message": words, "hint": ""}
        for sheet, cell, words in (("Animals", f"F{row}", "Mine."), ("Animals", f"F{row}1", "Theirs."), ("Weights", f"A{row}", "Other."))
    ]  # fmt: skip
    text = sheet_of(analysed, "K1", problems=pd.DataFrame(rows))
    assert f"F{row}: Mine." in text and "Theirs." not in text and "Other." not in text


def test_sheet__holds_no_script_and_asks_nothing_of_a_network(page):
    elements = Reader(page).elements
    assert {"script", "link", "img", "iframe", "object"} & {tag for tag, _ in elements} == set()
    policy = next(a["content"] for tag, a in elements if tag == "meta" and "http-equiv" in a)
    assert policy == "default-src 'none'; style-src 'unsafe-inline'"
    assert not re.search(r"(?<!xmlns=\")(?<!xmlns:xlink=\")https?://", page)


def test_sheet__the_same_book_gives_the_same_page(book, page, tmp_path):
    again = run_sheet(book, "k1 ", tmp_path / "again.html", as_of=AS_OF)
    assert again.read_text(encoding="utf-8") == page


def test_sheet__hostile_texts_stay_texts(make_book, page):
    book = hostile_book(make_book)
    hostile = run_sheet(book, HOSTILE[0], as_of=AS_OF)
    assert hostile.parent == book.parent and re.fullmatch(r"book-[\w.-]+\.html", hostile.name)
    read = Reader(hostile.read_text(encoding="utf-8"))
    known = {(tag, tuple(sorted(attributes))) for tag, attributes in Reader(page).elements}
    assert {(tag, tuple(sorted(attributes))) for tag, attributes in read.elements} <= known
    assert HOSTILE[0] in read.text and "{{ 7 * 7 }}" in read.text
    assert "x" * 1000 not in read.text


def test_find_animal__names_the_nearest_id(analysed):
    with pytest.raises(RequestError, match=r"^The book has no animal K11; the nearest ID is K1\.$"):
        find_animal(analysed[0], "K11")
    with pytest.raises(
        RequestError, match=r"^The book has no animal 999; its IDs stand on the Animals sheet\.$"
    ):
        find_animal(analysed[0], "999")


def test_find_animal__tells_a_row_left_out_from_none(analysed):
    with pytest.raises(RequestError, match="The row of X9 on the Animals sheet had to be left out"):
        find_animal(analysed[0], "X9", ["K1", "x9"])
    with pytest.raises(RequestError, match="Name an animal by its ID"):
        find_animal(analysed[0], "  ")


def test_sheet_path__gives_every_id_a_name_of_its_own(tmp_path):
    book = tmp_path / "my.xlsx"
    assert sheet_path(book, "B-12").name == "my-B-12.html"
    names = {sheet_path(book, id).name for id in ("A/1", "A:1", "A-1", "../A1", "A" * 500, "A" * 501, "?")}
    assert len(names) == 7 and all(len(name) < 70 and "/" not in name for name in names)


def test_write_sheet__replaces_a_sheet_and_nothing_else(page, tmp_path):
    write_sheet(page, tmp_path / "a.html")
    write_sheet(page + "<!-- newer -->", tmp_path / "a.html")
    assert (tmp_path / "a.html").read_text(encoding="utf-8").endswith("<!-- newer -->")
    (tmp_path / "mine.html").write_text("dear diary")
    for path, words in (
        (tmp_path / "mine.html", "is no animal sheet and is not written over; name another file with --out"),
        (tmp_path, "is a folder"),
        (tmp_path / "gone" / "a.html", "does not exist"),
        (tmp_path / f"{'a' * 300}.html", "can't be written"),
    ):
        with pytest.raises(RequestError, match=words):
            write_sheet(page, path)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["a.html", "mine.html"]


def test_cut__shortens_and_says_so():
    assert [cut("short"), cut(None), cut(float("nan")), cut("x" * 10, 4)] == ["short", "", "", "xxx…"]
