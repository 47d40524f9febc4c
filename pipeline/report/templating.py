"""The templates of every page, with what they may call."""

from functools import cache
from importlib.metadata import version
from pathlib import Path

from jinja2 import BytecodeCache, Environment, PackageLoader, StrictUndefined
from jinja2.bccache import Bucket
from markupsafe import Markup

from pipeline.report import formats, readable
from pipeline.report.formats import day
from pipeline.report.kept import find, keep, sources
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
        bytecode_cache=_Compiled(),
    )
    made.filters["day"] = day
    made.filters["unbroken"] = lambda text: formats.unbroken(readable.readable(text))
    made.globals["verdict_mark"] = verdict_mark
    return made


class _Compiled(BytecodeCache):
    """Templates as compiled by an earlier run of the same jinja, with the same settings and the same filters.

    Jinja itself marks them with the version of Python.
    """

    def __init__(self) -> None:
        at = (__file__, formats.__file__, readable.__file__)
        self._by = f"{version('jinja2')} {sources(map(Path, at))}"

    def get_cache_key(self, name: str, filename: str | None = None) -> str:
        """A template's name as one name of a file."""
        return name.replace("/", "-")

    def load_bytecode(self, bucket: Bucket) -> None:
        """Fill the bucket with what an earlier run kept of this template; leave it empty where there is nothing."""
        code = find(bucket.key, f"{self._by} {bucket.checksum}")
        if code is not None:
            bucket.bytecode_from_string(code)

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep the compiled template for the next run."""
        keep(bucket.key, f"{self._by} {bucket.checksum}", bucket.bytecode_to_string())


def _finalized(value: object) -> object:
    return readable.readable(value) if isinstance(value, str) and not isinstance(value, Markup) else value
