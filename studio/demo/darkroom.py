"""Renders the demo's photographs beside the loading, and has the real workers read them."""

import multiprocessing
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from time import monotonic, sleep

from django.core.files.base import ContentFile
from django.core.management.base import CommandError
from django_tasks import DEFAULT_TASK_BACKEND_ALIAS, task_backends
from django_tasks_db import DatabaseBackend

from studio.demo.drawings import Drawing
from studio.jobs.management.commands.work import Crew
from studio.people.models import Studio
from studio.uploads.models import StoredImage

PROCESSES = 2
PATIENCE_SECONDS = 300


def photographs(drawings: Iterable[Drawing]) -> Iterator[tuple[Drawing, ContentFile[bytes]]]:
    """Each drawing with its file, in the order given, rendered in processes of their own."""
    drawings = list(drawings)
    # Fresh processes, which import no Django: a fork would share the database connection.
    fresh = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(PROCESSES, mp_context=fresh) as pool:
        for drawing, photo in zip(
            drawings, pool.map(Drawing.photo, drawings, chunksize=4), strict=True
        ):
            yield drawing, ContentFile(photo, name=drawing.file_name)


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
    """Until every photograph has been read. Raise `CommandError` for one that was refused."""
    deadline = monotonic() + PATIENCE_SECONDS
    images = StoredImage.objects.filter(studio=studio)
    while (left := images.filter(state=StoredImage.State.RECEIVED).count()) > 0:
        if monotonic() > deadline:
            raise CommandError(f"{left} photographs are still unread. Is the queue's table there?")
        sleep(0.2)
    if refused := images.filter(state=StoredImage.State.REFUSED).first():
        raise CommandError(f"{refused.original_name} was refused: {refused.refusal}")
