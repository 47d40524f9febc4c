"""`python -m pipeline`, the same command as `proveout`. From its first moment Ctrl+C is told in one sentence."""

import os
import signal
from types import FrameType

from pipeline import STOPPED


def main() -> None:
    """The command line (see cli.py). While it is loaded nothing is begun that a Ctrl+C could leave half done."""
    signal.signal(signal.SIGINT, _stop)
    try:
        from pipeline.cli import main as command

        command()
    finally:
        signal.signal(signal.SIGINT, signal.SIG_IGN)  # all is done and said


def _stop(number: int, frame: FrameType | None) -> None:
    os.write(2, f"{STOPPED}\n".encode())
    os._exit(130)


if __name__ == "__main__":
    main()
