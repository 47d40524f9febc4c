"""How a process uses the machine is settled before it imports anything heavy."""

import subprocess
import sys

import pytest

_ASK = """
import gc, os, sys
from pipeline.resources import settle
settle()
print(gc.isenabled(), gc.get_threshold()[0] > 700, os.environ["OPENBLAS_NUM_THREADS"], "numpy" in sys.modules)
"""


@pytest.mark.parametrize("asked, threads", [(None, "1"), ("2", "2")])
def test_settle__one_thread_unless_the_environment_says_otherwise(monkeypatch, asked, threads):
    monkeypatch.delenv("OPENBLAS_NUM_THREADS", raising=False)
    if asked:
        monkeypatch.setenv("OPENBLAS_NUM_THREADS", asked)
    said = subprocess.run([sys.executable, "-c", _ASK], check=True, capture_output=True, text=True).stdout
    assert said.split() == ["True", "True", threads, "False"]
