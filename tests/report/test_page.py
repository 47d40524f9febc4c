"""The page: self-contained, safe with hostile names, honest when empty, every link of it leads somewhere."""

import re
from html.parser import HTMLParser

import pandas as pd
import pytest

from pipeline.report.head import PageHead
from pipeline.report.page import write_page
from pipeline.store.foremost import Cut
from pipeline.store.tables import findings_table
from tests.report.invented import HEAD, findings

HOSTILE = "<script>alert(1)</script>\"'&</table>=cmd|' \u202e\U0001f40d" + "x" * 9000


class Outline(HTMLParser):
    """Ids, links, and the attributes that could fetch something."""

    def __init__(self):
        super().__init__()
        self.ids, self.links, self.fetched, self.scripts = [], [], [], 0

    def handle_starttag(self, tag, attrs):
        attrs = dict(attrs)
        self.ids += [attrs["id"]] if "id" in attrs else []
        self.links += [attrs["href"]] if tag == "a" else []
        self.fetched += [attrs[name] for name in ("src", "srcset", "data", "poster") if name in attrs]
        self.fetched += [attrs["href"]] if tag in ("link", "base", "image") else []
        self.scripts += tag == "script"


def written(frames, tmp_path, head=HEAD):
    path = tmp_path / "report.html"
    write_page(frames, head, path)
    text = path.read_text(encoding="utf-8")
    outline = Outline()
    outline.feed(text)
    return text, outline


def test_write_page__fetches_nothing(tmp_path):
    text, outline = written(findings(), tmp_path)
    assert outline.fetched == []
    assert not re.search(
        r"(?:@import|url\(\s*[\"']?https?:|import\s*\(?[\"']https?:|fetch\(\s*[\"']http)", text
    )
    assert "default-src 'none'" in text


def test_write_page__every_link_leads_to_an_id_and_ids_are_unique(tmp_path):
    _, outline = written(findings(), tmp_path)
    assert len(outline.links) > 20 and len(outline.ids) == len(set(outline.ids))
    assert {link.removeprefix("#") for link in outline.links} <= set(outline.ids)


@pytest.mark.parametrize(
    "table, column", [("ratio_tests", "pairing"), ("growth", "animal"), ("problems", "value")]
)
def test_write_page__hostile_names_stay_text(tmp_path, table, column):
    plain, hostile = findings(), findings()
    hostile[table][column] = hostile[table][column].where(hostile[table].index > 0, HOSTILE)
    _, before = written(plain, tmp_path)
    text, after = written(hostile, tmp_path)
    assert "<script>alert(1)" not in text and "&lt;script&gt;alert(1)" in text
    assert after.scripts == before.scripts


def test_write_page__a_hostile_class_cannot_leave_the_chart_data(tmp_path):
    frames = findings()
    frames["ratio_classes"]["class"] = HOSTILE
    text, outline = written(frames, tmp_path)
    assert "\\u003cscript>alert(1)" in text and outline.scripts == 3


def test_write_page__names_link_to_the_rows_behind_them(tmp_path):
    text, _ = written(findings(), tmp_path)
    said = "Pairings, row 2; Hatch results, rows 4–7"
    card = text[text.index('<article class="card impossible') : text.index("</article>")]
    (anchor,) = re.findall(
        rf'<dt>In the book</dt><dd>\s*<a class="record" href="#(record-\d+)">{said}</a>', card
    )
    assert re.search(
        rf'<tr id="{anchor}"><th scope="row">P001</th><td>pairing</td><td class="prose">{said}</td>', text
    )
    assert re.search(r'<th scope="row"><a class="record" href="#record-\d+">A001</a></th>', text)


def test_write_page__a_name_without_a_record_is_no_link(tmp_path):
    frames = findings()
    frames["record_places"] = frames["record_places"].iloc[:0]
    text, _ = written(frames, tmp_path)
    assert 'class="record"' not in text and "A001" in text


def test_write_page__empty_findings_name_the_sheets_to_fill(tmp_path):
    text, outline = written({}, tmp_path, PageHead(books=("empty.xlsx",), as_of=HEAD.as_of))
    for sheet in ("Hatch results", "Weights", "Prices", "Pairings"):
        assert sheet in text
    assert "There is nothing to tell yet" in text and "Nothing stands out" not in text
    assert {link.removeprefix("#") for link in outline.links} <= set(outline.ids)


def test_write_page__nothing_stands_out_is_said_with_its_limits(tmp_path):
    frames = findings()
    frames["ratio_tests"]["verdict"] = "fits"
    frames["problems"] = frames["problems"][frames["problems"]["severity"] == "note"]
    text, _ = written(frames, tmp_path)
    assert "Nothing stands out." in text and "what was not tested is not confirmed" in " ".join(text.split())


def test_write_page__returns_the_answer_urgent_first(tmp_path):
    sentences = write_page(findings(), HEAD, tmp_path / "report.html")
    assert sentences[0].startswith("Pairing P001") and "cannot occur" in sentences[0]
    assert sentences[1].startswith("Pairing P002: the young depart from the expected 9:3:3:1 (n = 24, p <")
    assert any(one.startswith("Prices falling for 1 morph: Albino") for one in sentences)


def test_write_page__other_seasons_are_folded_away(tmp_path):
    text, _ = written(findings(pairings=8), tmp_path)
    folded = text[text.index("Pairings of the other seasons") :]
    assert "P004" in folded and 'id="earlier"' in folded
    season_table = text[text.index('id="pairings"') : text.index("Pairings of the other seasons")]
    assert "P005" in season_table and ">P004<" not in season_table


def test_write_page__is_the_same_for_rows_in_another_order(tmp_path):
    frames = findings()
    turned = {
        name: frame.iloc[::-1] for name, frame in frames.items() if name not in ("problems", "ratio_classes")
    }
    first, _ = written(frames, tmp_path)
    second, _ = written({**frames, **turned}, tmp_path)
    assert first == second


def test_write_page__a_book_without_records_says_that_there_is_nothing_to_tell(tmp_path):
    runs = pd.DataFrame({"book": ["empty.xlsx"], "as_of": [HEAD.as_of]})
    text, _ = written({"runs": runs}, tmp_path, PageHead(books=("empty.xlsx",), as_of=HEAD.as_of))
    assert "There is nothing to tell yet." in text and "Nothing stands out." not in text


def test_write_page__several_books_are_told_apart(tmp_path):
    one, two = findings(), findings()
    both = {name: pd.concat([one[name], two[name].assign(book="other.xlsx")]) for name in one}
    head = PageHead(books=("invented.xlsx", "other.xlsx"), as_of=HEAD.as_of, season=2026)
    text, outline = written(both, tmp_path, head)
    assert len(outline.ids) == len(set(outline.ids))
    assert text.count('<article class="card') == 6 and ">other.xlsx<" in text


def test_write_page__a_page_that_is_not_whole_never_says_that_nothing_stands_out(tmp_path):
    names = ("invented.xlsx", "other.xlsx")
    head = PageHead(books=names, as_of=HEAD.as_of, season=2026, keeper="A. Keeper")
    cuts = [Cut(findings_table("carrier_odds"), 10, 20)]
    found = {"answered": True, "suspicions": [3, 0], "departures": 0, "errors": 0}
    told = {**findings(), "books": pd.DataFrame({"book": names, **found})}
    sentences = write_page(told, head, tmp_path / "told.html", cuts=cuts)
    assert sentences == ["3 suspicions in 1 of 2 books: invented.xlsx (3)."]
    untold = {**findings(), "books": pd.DataFrame({"book": names, **found, "suspicions": 0})}
    assert write_page(untold, head, tmp_path / "untold.html", cuts=cuts)
    for page in ("told.html", "untold.html"):
        text = (tmp_path / page).read_text(encoding="utf-8")
        assert "Nothing stands out" not in text and "nothing to tell yet" not in text and "A. Keeper" not in text
