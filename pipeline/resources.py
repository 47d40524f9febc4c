"""How a process of this program uses the machine; settled once, before anything heavy is imported."""

import gc
import os

_AT_LEAST = 50_000
"""Objects made before Python looks through them for garbage. It comes to 700 of itself, and a run makes millions that
all stay: a tenth of its time went on looking at them."""


def settle() -> None:
    """Look for garbage less often, and do linear algebra in one thread, unless the environment names another number.

    The matrices of a collection are small: more threads wait for one another longer than they count.
    """
    gc.set_threshold(_AT_LEAST, 20, 100)
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
