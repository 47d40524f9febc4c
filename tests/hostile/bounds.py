"""A command in a process of its own, and what it took: exit code, words, seconds of computing, most memory."""

import os
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
REFUSED_SECONDS, REFUSED_MEGABYTES = 15, 800
"""What refusing a file may take at most; reading one may take longer, in step with its size."""
_HANGS = 600
"""Seconds of computing after which the system ends a process that would go on for ever."""


@dataclass(frozen=True)
class Taken:
    """How a command ended, and at what cost; `memory` in megabytes."""

    code: int
    out: str
    err: str
    seconds: float
    memory: float


def run(*words: object) -> Taken:
    """`python -m pipeline WORDS`, measured by the system (wait4)."""
    import resource

    command = [sys.executable, "-m", "pipeline", *map(str, words)]
    limit = lambda: resource.setrlimit(resource.RLIMIT_CPU, (_HANGS, _HANGS))  # noqa: E731
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
        child = subprocess.Popen(
            command, stdin=subprocess.DEVNULL, stdout=out, stderr=err, cwd=ROOT, preexec_fn=limit
        )
        _, status, usage = os.wait4(child.pid, 0)
        child.returncode = os.waitstatus_to_exitcode(status)
        texts = [stream.seek(0) or stream.read().decode() for stream in (out, err)]
    return Taken(child.returncode, *texts, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024)


def sentence(taken: Taken) -> str:
    """The one sentence of a refusal, within the bounds of one."""
    assert (taken.code, taken.out) == (2, ""), taken
    assert taken.err.startswith("proveout: ") and taken.err.endswith(".\n") and taken.err.count("\n") == 1
    assert taken.seconds < REFUSED_SECONDS and taken.memory < REFUSED_MEGABYTES, taken
    return taken.err
