"""Renders the demo's photographs beside the loading, and has the real workers read them."""

import multiprocessing
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from operator import methodcaller
from time import monotonic, sleep
from typing import Protocol, TypeVar

from django.core.files.base import ContentFile
from django.core.management.base import CommandError
from django_tasks import DEFAULT_TASK_BACKEND_ALIAS, task_backends
from django_tasks_db import DatabaseBackend

from studio.jobs.management.commands.work import Crew
from studio.people.models import Studio
from studio.uploads.models import StoredImage

PROCESSES = 2
PATIENCE_SECONDS = 120


class Taken(Protocol):
    """A picture that can be taken."""

    @property
    def file_name(self) -> str: ...
    def photo(self) -> bytes: ...


T = TypeVar("T", bound=Taken)


def photographs(pictures: Iterable[T]) -> Iterator[tuple[T, ContentFile[bytes]]]:
    """Each picture with its file, in the order given, rendered in processes of their own."""
    pictures = list(pictures)
    # Fresh processes, which import no Django: a fork would share the database connection.
    fresh = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(PROCESSES, mp_context=fresh) as pool:
        taken = pool.map(methodcaller("photo"), pictures, chunksize=4)
        for picture, photo in zip(pictures, taken, strict=True):
            yield picture, ContentFile(photo, name=picture.file_name)


@contextmanager
def workers() -> Iterator[None]:
    """Workers that read uploads while the block runs; none where jobs run at once."""
    at_once = not isinstance(task_backends[DEFAULT_TASK_BACKEND_ALIAS], DatabaseBackend)
    crew = Crew(0 if at_once else PROCESSES)
    crew.fill()
    try:
        yield
    finally:
        crew.dismiss()


def wait_until_read(studio: Studio) -> None:
    """Until every photograph has been read, as long as there are fewer left from time to time.

    Raise `CommandError` for one that was refused.
    """
    images = StoredImage.objects.filter(studio=studio)
    unread = images.filter(state=StoredImage.State.RECEIVED)
    before, since = unread.count(), monotonic()
    while (left := unread.count()) > 0:
        if left < before:
            before, since = left, monotonic()
        if monotonic() - since > PATIENCE_SECONDS:
            raise CommandError(f"{left} photographs are still unread. Is the queue's table there?")
        sleep(0.2)
    if refused := images.filter(state=StoredImage.State.REFUSED).first():
        raise CommandError(f"{refused.original_name} was refused: {refused.refusal}")
