"""The templates of every page, with what they may call."""

from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined

from pipeline.report.formats import day
from pipeline.report.verdicts import verdict_mark


@cache
def environment() -> Environment:
    """Templates that escape every value and refuse an undefined one."""
    made = Environment(
        loader=PackageLoader("pipeline.report"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["day"] = day
    made.globals["verdict_mark"] = verdict_mark
    return made
