"""Who does the work: this process, several on this machine, or a cluster.

All are executors of Python's own ``concurrent.futures``, so any other one serves as well.
"""

import multiprocessing
import multiprocessing.connection
import os
import signal
import threading
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from typing import Any, Callable

from sewkit.errors import InputError, MissingExtra


def cores() -> int:
    """How many processor cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


class Here(Executor):
    """Does everything at once, in this process: no start to wait for, nothing to send."""

    def submit(self, function: Callable[..., Any], *arguments: Any, **named: Any) -> "Future[Any]":  # type: ignore[override]
        """Do it, and give what came of it."""
        future: Future[Any] = Future()
        try:
            future.set_result(function(*arguments, **named))
        except Exception as error:
            future.set_exception(error)
        return future


def processes(jobs: int) -> Executor:
    """So many processes on this machine; this one itself where it is one.

    They are started afresh and not copied, which works the same on every system and beside
    threads, and end with the one that started them, however that is stopped.
    """
    if jobs <= 1:
        return Here()
    fresh = multiprocessing.get_context("spawn")
    return ProcessPoolExecutor(jobs, mp_context=fresh, initializer=_begin)


def _begin() -> None:
    """What a process does first: leave stopping to its parent, and end with it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()

    def watch() -> None:
        if parent is not None:
            multiprocessing.connection.wait([parent.sentinel])
        os._exit(1)  # packs are whole or not there, so nothing is lost

    if parent is not None:
        threading.Thread(target=watch, daemon=True).start()


def cluster(address: str) -> "_Cluster":
    """The workers of a Dask cluster by the address of its scheduler; they must see the same folders.

    ``MissingExtra`` where distributed is not installed, ``InputError`` where nobody answers.
    """
    if not address:
        raise InputError(
            "Which cluster shall do the work?", "Give --address tcp://its-scheduler:8786.", code="cluster"
        )
    try:
        from distributed import Client
    except ImportError:
        raise MissingExtra("Working on a cluster", "cluster") from None
    try:
        client = Client(address, timeout="10s")
    except (OSError, ValueError) as error:
        raise InputError(
            "No cluster answers at '{}' ({}).".format(address, str(error).split("\n")[0].rstrip(".")),
            "Start its scheduler first, or leave --executor out.",
            code="cluster",
        ) from None
    return _Cluster(client)


class _Cluster(Executor):
    """A cluster's executor that also ends the connection; every row is done once, equal ones too."""

    def __init__(self, client: Any) -> None:
        self.workers = max(sum(client.nthreads().values()), 1)
        self._client = client
        self._executor = client.get_executor(pure=False)

    def submit(self, function: Callable[..., Any], *arguments: Any, **named: Any) -> "Future[Any]":  # type: ignore[override]
        future: Future[Any] = self._executor.submit(function, *arguments, **named)
        return future

    def shutdown(self, wait: bool = True, **named: Any) -> None:
        """End the connection; the cluster itself goes on."""
        self._executor.shutdown(wait=wait)
        self._client.close()
