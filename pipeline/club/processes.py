"""Work done in several processes, with the results in the order of the tasks whatever their number."""

import multiprocessing
import os
import signal
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from multiprocessing.connection import wait
from typing import Any, Self, TypeVar

from pipeline.errors import RequestError
from pipeline.resources import settle

Task = TypeVar("Task")
Result = TypeVar("Result")
AHEAD = 8
"""Tasks begun ahead of the next result, for each process: a long one keeps no other waiting, and few results wait in memory."""
BOOKS_A_PROCESS = 2
"""A process takes about as long to start as a small book to answer, so one is started for every two books."""


def processes_for(books: int, asked: int | None = None) -> int:
    """How many processes to use: as many as asked for, else one a processor; never more than the books are worth."""
    if asked is not None:
        return max(1, min(asked, books))
    return max(1, min(_processors(), books // BOOKS_A_PROCESS))


def _processors() -> int:
    """Processors this run may use."""
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:
        return os.cpu_count() or 1


class Workers:
    """So many processes, as a context manager; 1 is this very process. Left with an error, they are stopped at once.

    An `executor` does the work instead, where one is given: of a cluster's workers, which all see the folder of the run.
    It is its owner's to close.
    """

    def __init__(self, processes: int, executor: Executor | None = None) -> None:
        self._ahead = AHEAD * processes
        self._others = set(multiprocessing.active_children())
        self._pool: Executor | None = executor
        self._own = executor is None and processes > 1
        if self._own:
            spawn = multiprocessing.get_context("spawn")
            self._pool = ProcessPoolExecutor(processes, mp_context=spawn, initializer=_start)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, *_: object) -> None:
        if self._pool is None or not self._own:
            return
        if kind is not None:
            for process in set(multiprocessing.active_children()) - self._others:
                process.terminate()
        self._pool.shutdown(wait=kind is None, cancel_futures=True)

    def in_order(self, work: Callable[[Task], Result], tasks: Iterable[Task]) -> Iterator[Result]:
        """work(task) for each task, in their order. `work` is a module's own function; tasks and results are pickled.

        Raises what `work` raises, and RequestError where a process was killed from outside.
        """
        if self._pool is None:
            yield from map(work, tasks)
            return
        begun: deque[Future[Any]] = deque()
        try:
            for task in tasks:
                with _ctrl_c_held():
                    begun.append(self._pool.submit(work, task))
                if len(begun) > self._ahead:
                    yield begun.popleft().result()
            while begun:
                yield begun.popleft().result()
        except BrokenProcessPool as broken:
            raise RequestError(
                "A process of this run was ended from outside, as happens where memory runs out; "
                "run again with --jobs 1, or with fewer books at once."
            ) from broken


@contextmanager
def _ctrl_c_held() -> Iterator[None]:
    """A process begun meanwhile never hears of Ctrl+C, not even while it is loaded; this one does when it is over."""
    if not hasattr(signal, "pthread_sigmask"):  # Windows holds no signals
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _start() -> None:
    """Use the machine as the parent does, leave Ctrl+C to it, and end when it does, even when it is killed."""
    settle()
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_after, args=(parent.sentinel,), daemon=True).start()


def _end_after(sentinel: int) -> None:
    wait([sentinel])
    os._exit(1)
