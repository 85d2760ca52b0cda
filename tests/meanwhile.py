"""What somebody else does, on a connection of their own, in the middle of what we do."""

import queue
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor, wait

from django.db import connection


class Meanwhile:
    """`act` in a thread; goes on here once it has ended or waits for a lock that we hold.

    SQLite has one lock for all who write, so there it is not looked for.
    """

    def __init__(self, act: Callable[[], object]) -> None:
        self._act = act
        self._pid: queue.SimpleQueue[int] = queue.SimpleQueue()
        with_one = ThreadPoolExecutor(1)
        self._other = with_one.submit(self._run)
        with_one.shutdown(wait=False)
        if connection.vendor == "postgresql":
            other = self._pid.get()
            while not self._other.done() and not _waits(other):
                wait([self._other], timeout=0.01)

    def ended(self) -> BaseException | None:
        """What it raised, once it is over; call it after our own transaction."""
        return self._other.exception()

    def _run(self) -> None:
        try:
            if connection.vendor == "postgresql":
                self._pid.put(_asked("SELECT pg_backend_pid()"))
            self._act()
        finally:
            connection.close()


def _waits(pid: int) -> bool:
    return _asked("SELECT cardinality(pg_blocking_pids(%s))", pid) > 0


def _asked(question: str, *given: int) -> int:
    with connection.cursor() as cursor:
        cursor.execute(question, given)
        return int(cursor.fetchone()[0])
