"""Heavy work within requests is bounded, so that one person can't keep the threads of all."""

import threading
from collections import Counter
from collections.abc import Hashable, Iterator
from contextlib import contextmanager

from django.utils.translation import gettext_lazy as _
from rest_framework import status
from rest_framework.exceptions import APIException


class Full(APIException):
    status_code = status.HTTP_503_SERVICE_UNAVAILABLE
    default_detail = _("Too much is being computed at once. Try again in a moment.")
    wait = 1
    """Seconds, as `Retry-After`."""


class Slots:
    """So many at once for each person and for everybody, in one process.

    Nobody waits for a slot: a thread that waits is as busy as one that computes.
    """

    def __init__(self, *, each: int, together: int) -> None:
        self._each, self._together = each, together
        self._taken: Counter[Hashable] = Counter()
        self._lock = threading.Lock()

    @contextmanager
    def taken_by(self, who: Hashable) -> Iterator[None]:
        """Hold a slot; raises `Full` where there is none."""
        with self._lock:
            if self._taken[who] >= self._each or self._taken.total() >= self._together:
                raise Full
            self._taken[who] += 1
        try:
            yield
        finally:
            with self._lock:
                self._taken[who] -= 1
                # Forget who has none, or a name would stay for everybody who ever came.
                self._taken += Counter()
