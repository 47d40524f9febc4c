"""A coverage-guided run over the label parser: `python -m tests.hostile.fuzz_labels FOLDER [-max_total_time=600]`.

Atheris (the optional extra `fuzz`) changes bytes so that ever more branches of the parser are reached; FOLDER keeps those
that reached something new. An input that breaks a promise of the parser is written to a file crash-…, and becomes an
ordinary test in test_labels.py.
"""

import sys

import atheris

with atheris.instrument_imports(include=["pipeline.genetics"]):
    from tests.hostile.labels_at_random import catalogue_of, check_label, label_of


def one(data: bytes) -> None:
    """One input: bytes as choices."""
    given = atheris.FuzzedDataProvider(data)
    take = lambda most: given.ConsumeIntInRange(0, most - 1)  # noqa: E731
    check_label(catalogue_of(take), label_of(take, lambda: given.ConsumeUnicodeNoSurrogates(12)))


if __name__ == "__main__":
    atheris.Setup(sys.argv, one)
    atheris.Fuzz()
