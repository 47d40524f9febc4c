"""Altair, imported when something in it is first looked up.

It takes a fifth of a second, and a run whose charts' specifications are kept from an earlier one asks nothing of it.
"""

import sys
from importlib.util import LazyLoader, find_spec, module_from_spec
from types import ModuleType
from typing import TYPE_CHECKING

__all__ = ["alt"]


def _later(name: str) -> ModuleType:
    """The module of that name, which is loaded when it is first asked for anything."""
    spec = None if name in sys.modules else find_spec(name)
    if spec is None or spec.loader is None:
        return sys.modules[name]
    spec.loader = LazyLoader(spec.loader)
    module = sys.modules[name] = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


if TYPE_CHECKING:
    import altair as alt
else:
    alt = _later("altair")
