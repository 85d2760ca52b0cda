"""Does the background work until it is told to stop."""

import argparse
import logging
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from datetime import timedelta
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand
from django.db import close_old_connections
from django.utils import timezone
from django.utils.module_loading import import_string
from django_tasks import DEFAULT_TASK_BACKEND_ALIAS, task_backends
from django_tasks_db import DatabaseBackend

from studio.jobs.services import sweep_jobs
from studio.jobs.worker import GRACE_SECONDS

logger = logging.getLogger(__name__)
SWEEP_SECONDS = 3.0
HOUSEKEEPING_EVERY = timedelta(minutes=10)


def _worker_count(text: str) -> int:
    count = int(text)
    if not 1 <= count <= 64:  # noqa: PLR2004 -- more is a slip of the finger
        raise argparse.ArgumentTypeError("Ask for 1 to 64 workers.")
    return count


class Command(BaseCommand):
    help = "Do background work: run the workers, restart one that died, take over lost jobs."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("--workers", type=_worker_count, default=1, help="default: 1")

    def handle(self, *args: Any, workers: int, **options: Any) -> None:
        told_to_stop = threading.Event()
        for number in (signal.SIGTERM, signal.SIGINT):
            signal.signal(number, lambda *_: told_to_stop.set())
        crew = Crew(workers if _queue_is_a_table() else 0)
        housekeeping_at = timezone.now()
        try:
            while not told_to_stop.is_set():
                crew.fill()
                _carefully(lambda: sweep_jobs(at=timezone.now()))
                if timezone.now() >= housekeeping_at:
                    housekeeping_at = timezone.now() + HOUSEKEEPING_EVERY
                    _carefully(_keep_house)
                close_old_connections()
                told_to_stop.wait(SWEEP_SECONDS)
        finally:
            crew.dismiss()


def _queue_is_a_table() -> bool:
    return isinstance(task_backends[DEFAULT_TASK_BACKEND_ALIAS], DatabaseBackend)


def _keep_house() -> None:
    for path in settings.HOUSEKEEPING:
        import_string(path)(at=timezone.now())


def _carefully(step: Callable[[], object]) -> None:
    """A database that is away for a moment must not end the one who watches over the workers."""
    try:
        step()
    except Exception:
        logger.exception("will be tried again")


class Crew:
    """Worker processes, as many as were asked for."""

    def __init__(self, size: int) -> None:
        self.size = size
        self.workers: list[subprocess.Popen[bytes]] = []

    def fill(self) -> None:
        """Start who is missing. At most once a sweep, so a worker that can't start doesn't spin."""
        for worker in [each for each in self.workers if each.poll() is not None]:
            logger.warning("worker %d ended (%s)", worker.pid, worker.returncode)
            self.workers.remove(worker)
        while len(self.workers) < self.size:
            self.workers.append(
                subprocess.Popen(
                    [sys.executable, "-m", "studio.jobs.worker"],
                    cwd=settings.BASE_DIR,
                    stdin=subprocess.PIPE,
                    # Ctrl-C reaches this process only, which then asks each worker once.
                    start_new_session=True,
                )
            )

    def dismiss(self) -> None:
        """Let each finish its job, and wait no longer than the grace they have."""
        for worker in self.workers:
            worker.terminate()
        deadline = time.monotonic() + GRACE_SECONDS
        for worker in self.workers:
            try:
                worker.wait(max(0.0, deadline - time.monotonic()))
            except subprocess.TimeoutExpired:
                worker.kill()
                worker.wait()
