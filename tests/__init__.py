"""Checks of proveout; run with pytest."""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before numpy is imported; as pipeline.resources settles it
