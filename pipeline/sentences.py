"""What the command says when it can't go on: one sentence, the right exit code, no traceback but of a fault of ours."""

import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType
from typing import NoReturn

import click

from pipeline import STOPPED
from pipeline.errors import ProveoutError, refusals_told

_LIBRARY = "proveout: A library is missing ({}); run `python3 -m pipeline.first_run demo` once more, in proveout's folder."
_OURS = ("pipeline", "charts")


def tell(text: str, err: bool = False) -> None:
    """Print lines that name a keeper's records, none of them endless."""
    from pipeline.report.readable import LONGEST_PATH, shortened

    click.echo("\n".join(shortened(line, LONGEST_PATH) for line in text.split("\n")), err=err)


class Sentences(click.Group):
    """Tells a keeper what went wrong in one sentence and exits with the error's code."""

    def invoke(self, context: click.Context) -> object:
        """What the command gives. What went wrong is one sentence on stderr; a fault of ours keeps its traceback."""
        with _interrupts() as pressed:
            try:
                with refusals_told("check that you may write there, or name another place"):
                    return super().invoke(context)
            except KeyboardInterrupt:
                _stopped()
            except click.UsageError as error:
                asked = error.ctx.command_path if error.ctx else context.command_path
                said = " ".join(error.format_message().split())
                stop = "" if said.endswith((".", "?")) else "."
                click.echo(f"proveout: {said}{stop} See `{asked} --help`.", err=True)
                context.exit(error.exit_code)
            except Exception as error:
                if pressed:
                    _stopped()
                if library := _library_missing(error):
                    click.echo(_LIBRARY.format(library), err=True)
                    context.exit(1)
                if not isinstance(error, ProveoutError):
                    raise
                tell(f"proveout: {error}", err=True)
                context.exit(error.exit_code)


class _Pressed(KeyboardInterrupt):
    """Ctrl+C. Python ends with a signal, whatever the exit code, where a KeyboardInterrupt itself has left a text that was
    executed, as dataclasses do."""


@contextmanager
def _interrupts() -> Iterator[list[int]]:
    """Fills once Ctrl+C is pressed: the database makes errors of its own of the interrupt that it meets."""
    pressed: list[int] = []

    def press(number: int, frame: FrameType | None) -> None:
        pressed.append(number)
        raise _Pressed

    before = signal.signal(signal.SIGINT, press)
    try:
        yield pressed
    finally:
        signal.signal(signal.SIGINT, before)


def _stopped() -> NoReturn:
    click.echo(STOPPED, err=True)
    sys.exit(130)


def _library_missing(error: Exception) -> str | None:
    """The library that an import lacked, as after an update that needs one more; None for any other error."""
    name = error.name if isinstance(error, ModuleNotFoundError) else None
    return name if name and name.split(".")[0] not in _OURS else None
