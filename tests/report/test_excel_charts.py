"""Excel's own charts in findings.xlsx: fed by numbers beside them, absent where there is nothing to draw."""

import zipfile
from datetime import date

import pandas as pd
from openpyxl import load_workbook

from pipeline.report.excel_charts import TITLE
from pipeline.report.findings_book import write_findings_book
from tests.report.invented import BOOK, findings

DAYS = pd.date_range("2024-01-01", periods=40, freq="30D")


def grown(animal="A001"):
    """Findings with the weighings and the curve of one animal."""
    named = {"book": BOOK, "animal": animal}
    points = pd.DataFrame(
        [
            {**named, "on": day, "weight_g": 10.0 + at, "state": "plain", "used": at != 1}
            for at, day in enumerate(DAYS[:6])
        ]
    )
    curve = pd.DataFrame(
        [
            {**named, "on": day, "weight_g": 9.0 + at, "low_g": 5.0 + at, "high_g": 14.0 + at}
            for at, day in enumerate(DAYS)
        ]
    )
    return {**findings(), "growth_points": points, "growth_curves": curve}


def write(frames, tmp_path):
    path = tmp_path / "findings.xlsx"
    write_findings_book(frames, path, as_of=date(2026, 5, 3))
    return path


def test_write_findings_book__draws_an_animal_that_will_be_ready(tmp_path):
    path = write(grown(), tmp_path)
    sheet = load_workbook(path)[TITLE]
    columns = {
        cell.value: [c.value for c in column]
        for column in sheet.iter_cols(min_row=4, max_row=20)
        for cell in column[:1]
        if cell.value
    }
    weighed = [value for value in columns["weighings"][1:] if value is not None]
    assert weighed == [10, 12, 13, 14, 15]  # the doubted weighing is not drawn
    curve = [value for value in columns["curve"][1:] if value is not None]
    assert (curve[0], curve[-1], len(curve)) == (9, 48, 15)
    with zipfile.ZipFile(path) as package:
        assert [name for name in package.namelist() if "charts/chart" in name] == ["xl/charts/chart1.xml"]
        drawing = package.read("xl/drawings/drawing1.xml").decode()
    assert 'descr="Chart: Growth of A001: 5 weighings' in drawing


def test_write_findings_book__without_records_to_draw_has_no_charts(tmp_path):
    assert TITLE not in load_workbook(write(findings(), tmp_path)).sheetnames


def test_write_findings_book__a_hostile_name_is_no_formula_of_a_chart(tmp_path):
    frames = grown("=1+1" * 4000)
    frames["growth"].loc[0, "animal"] = "=1+1" * 4000
    with zipfile.ZipFile(write(frames, tmp_path)) as package:
        chart = package.read("xl/charts/chart1.xml").decode()
    title = chart[chart.index("<c:title>") : chart.index("</c:title>")]
    assert "Growth of =1+1=1+1" in title and "<c:f>" not in title and len(title) < 1000
