"""Every module of charts/ is a chart: built from sample and from empty tables, worded, and free of colours of its own."""

import importlib
import json
import pkgutil

import pytest

import charts
from charts.theme import config
from tests.charts.growth_tables import (
    growth_tables,
    no_growth,
    no_premiums,
    no_prices,
    premium_tables,
    price_tables,
)
from tests.charts.route_tables import no_route, route_tables
from tests.report.invented import carrier_odds, findings

NAMES = sorted({module.name for module in pkgutil.iter_modules(charts.__path__)} - {"later", "theme"})


def ratio_tables():
    return (findings(pairings=1)["ratio_classes"].iloc[:4],)


SAMPLES = {
    "carrier_curve": ((carrier_odds().iloc[:1],), (carrier_odds().iloc[:0],)),
    "gene_premiums": (premium_tables(), no_premiums()),
    "growth": (growth_tables(), no_growth()),
    "price_trend": (price_tables(), no_prices()),
    "readiness": (growth_tables()[:1], no_growth()[:1]),
    "ratio_bars": (ratio_tables(), (ratio_tables()[0].iloc[:0],)),
    "route": (route_tables(), no_route()),
}


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("which", ["sample", "empty"])
def test_chart__builds_and_is_worded(name, which):
    module = importlib.import_module(f"charts.{name}")
    tables = SAMPLES[name][which == "empty"]
    spec = getattr(module, name)(*tables).to_dict()
    heading = module.heading(*tables)
    assert (spec["title"]["text"], spec["description"]) == (heading.title, heading.description)
    assert heading.title and heading.subtitle and heading.description
    assert set(spec["datasets"]) == set(module.data(*tables))
    json.dumps(spec, allow_nan=False)


@pytest.mark.parametrize("name", NAMES)
def test_chart__specification_is_the_same_for_all_tables(name):
    module = importlib.import_module(f"charts.{name}")
    draw = getattr(module, name)
    sample, empty = (draw(*tables).to_dict() for tables in SAMPLES[name])
    own = {"title", "description", "height", "datasets"}
    assert {k: v for k, v in sample.items() if k not in own} == {
        k: v for k, v in empty.items() if k not in own
    }


@pytest.mark.parametrize("name", NAMES)
def test_chart__has_a_purpose_tooltips_and_no_colour_of_its_own(name):
    module = importlib.import_module(f"charts.{name}")
    text = json.dumps(getattr(module, name)(*SAMPLES[name][0]).to_dict())
    assert module.__doc__.startswith("Shows") and module.__doc__.count(".") == 1
    assert '"tooltip"' in text and "#" not in text.replace("/schema/", "")


def test_config__light_and_dark_name_the_same_styles():
    light, dark = config(), config(dark=True)
    assert light["style"].keys() == dark["style"].keys()
    assert light["title"]["color"] != dark["title"]["color"]
