"""What somebody else does, on a connection of their own, in the middle of what we do."""

import queue
import threading
from collections.abc import Callable

from django.db import connection


class Meanwhile:
    """`act` in a thread; goes on here once it has ended or waits for a lock that we hold.

    SQLite has one lock for all who write, so there it is not looked for.
    """

    def __init__(self, act: Callable[[], object]) -> None:
        self.said: Exception | None = None
        self._act = act
        self._pid: queue.SimpleQueue[int] = queue.SimpleQueue()
        self._thread = threading.Thread(target=self._run)
        self._thread.start()
        if connection.vendor == "postgresql":
            other = self._pid.get()
            while self._thread.is_alive() and not _waits(other):
                self._thread.join(0.01)

    def ended(self) -> Exception | None:
        """What it raised, once it is over; call it after our own transaction."""
        self._thread.join()
        return self.said

    def _run(self) -> None:
        try:
            if connection.vendor == "postgresql":
                self._pid.put(_asked("SELECT pg_backend_pid()"))
            self._act()
        except Exception as raised:  # noqa: BLE001 -- handed to the test
            self.said = raised
        finally:
            connection.close()


def _waits(pid: int) -> bool:
    return _asked("SELECT cardinality(pg_blocking_pids(%s))", pid) > 0


def _asked(question: str, *given: int) -> int:
    with connection.cursor() as cursor:
        cursor.execute(question, given)
        return int(cursor.fetchone()[0])
