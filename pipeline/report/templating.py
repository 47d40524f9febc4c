"""The templates of every page, with what they may call."""

from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from pipeline.report.formats import day
from pipeline.report.readable import readable
from pipeline.report.verdicts import verdict_mark


@cache
def environment() -> Environment:
    """Templates that escape every value, cut what is endless, and refuse an undefined one."""
    made = Environment(
        loader=PackageLoader("pipeline.report"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_finalized,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["day"] = day
    made.globals["verdict_mark"] = verdict_mark
    return made


def _finalized(value: object) -> object:
    return readable(value) if isinstance(value, str) and not isinstance(value, Markup) else value
