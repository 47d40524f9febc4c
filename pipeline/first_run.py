"""Sets proveout up on a fresh machine and runs it: `python3 -m pipeline.first_run demo` (or `tests`).

Uses nothing but Python itself: makes .venv beside this project, installs into it, and goes on there. A second call
finds the work done.
"""

import hashlib
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
OLDEST = (3, 11)
DEMO_DAY = "2026-11-01"
"""The day on which the demo's records end, so that it tells the same whenever it is run."""
USAGE = "Say what to run: `python3 -m pipeline.first_run demo` for the demo season, or `tests` for the tests."


def main(arguments: list[str]) -> int:
    """Set up for 'demo' or 'tests', run it, and return its exit code; further words go to pytest."""
    if sys.version_info < OLDEST:
        print(f"proveout needs Python 3.11 or newer; this is {sys.version.split()[0]}.", file=sys.stderr)
        return 1
    if not arguments or arguments[0] not in ("demo", "tests"):
        print(USAGE, file=sys.stderr)
        return 1
    what, rest = arguments[0], arguments[1:]
    if not _ready(extra="[tests]" if what == "tests" else ""):
        return 1
    if what == "tests":
        return subprocess.call([_python(), "-m", "pytest", "-n", "auto", *rest], cwd=ROOT)
    book = ROOT / "workbooks" / "demo.xlsx"
    return subprocess.call(
        [_python(), "-m", "pipeline", "season", str(book), "--as-of", DEMO_DAY, *rest], cwd=ROOT
    )


def _python() -> str:
    folder, name = ("Scripts", "python.exe") if sys.platform == "win32" else ("bin", "python")
    return str(VENV / folder / name)


def _ready(extra: str) -> bool:
    """Make the environment and install, unless that was done for this very pyproject.toml."""
    mark = VENV / f"installed{extra}"
    wanted = hashlib.sha256((ROOT / "pyproject.toml").read_bytes()).hexdigest()
    if mark.is_file() and mark.read_text() == wanted:
        return True
    print(f"Setting up in {VENV} (once; a minute or two) …", flush=True)
    steps = (
        [sys.executable, "-m", "venv", str(VENV)],
        [_python(), "-m", "pip", "install", "--quiet", "--disable-pip-version-check", "-e", f".{extra}"],
    )
    for step in steps:
        if subprocess.call(step, cwd=ROOT) != 0:
            remedy = (
                "on Debian or Ubuntu install python3-venv first" if "venv" in step else "check the network"
            )
            print(
                f"The set-up stopped at `{' '.join(step[1:4])}`; {remedy}, then run this again.",
                file=sys.stderr,
            )
            return False
    mark.write_text(wanted)
    return True


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
