"""Hashes kept: equal records hash alike, and no hash leaves its process."""

import os
import pickle
import subprocess
import sys
from dataclasses import replace

from pipeline.genetics.genes import Gene, Inheritance
from pipeline.genetics.statements import Shown, Statement

GENE = Gene("Ash", Inheritance.RECESSIVE, "Ash")


def test_hashed_once__equal_records_are_one_key():
    assert len({Statement((Shown("Ash"),)), Statement((Shown("Ash"),)), Statement()}) == 2


def test_hashed_once__a_changed_copy_is_hashed_anew():
    assert hash(GENE) != hash(replace(GENE, lethal=True))


def test_hashed_once__a_record_from_another_process_is_found():
    code = f"import pickle, sys; own = pickle.loads({pickle.dumps(GENE)!r}); hash(own); sys.stdout.buffer.write(pickle.dumps(own))"
    sent = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        check=True,
        env={**os.environ, "PYTHONHASHSEED": "7"},
    )
    assert pickle.loads(sent.stdout) in {GENE}
