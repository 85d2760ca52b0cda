"""One attempt at a job. Only the attempt that holds the lease may write its result."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from typing import Any

from django.db import transaction
from django.utils import timezone

from .models import Job

# Longer than any single step between two signs of life, the slowest being one picture.
LEASE = timedelta(minutes=2)
RESULT_KEPT = timedelta(days=7)


class LeaseLost(Exception):  # noqa: N818 -- says what happened, and nothing is in error
    """Another attempt has taken over; this one stops and writes nothing."""


class Work:
    """The hands of one attempt, made by `claimed`."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.attempt = job.attempt
        self.is_finished = False

    def progress(self, percent: int, words: str = "") -> None:
        """Say how far it is (0–100) and keep the lease; raises `LeaseLost`."""
        mine = Job.objects.filter(pk=self.job.pk, state=Job.State.RUNNING, attempt=self.attempt)
        if not mine.update(progress=percent, words=words[:200], lease_until=timezone.now() + LEASE):
            raise LeaseLost

    @contextmanager
    def finishing(self, result: dict[str, Any] | None = None) -> Iterator[None]:
        """The transaction in which the work is written down and the job is done."""
        with transaction.atomic():
            job = self._held()
            yield
            _close(job, state=Job.State.DONE, progress=100, words="", result=result or {})
        self.is_finished = True

    def refuse(self, reason: str) -> None:
        """It can't be done, and `reason` is a sentence that says why."""
        with transaction.atomic():
            _close(self._held(), state=Job.State.REFUSED, refusal=reason)
        self.is_finished = True

    def _held(self) -> Job:
        job = Job.objects.select_for_update().filter(pk=self.job.pk).first()
        if job is None or job.state != Job.State.RUNNING or job.attempt != self.attempt:
            raise LeaseLost
        return job


def claimed(*, job_id: str) -> Work | None:
    """The next attempt at a waiting job, or None: taken by another, finished, or gone."""
    with transaction.atomic():
        job = Job.objects.select_for_update().filter(pk=job_id, state=Job.State.WAITING).first()
        if job is None:
            return None
        job.state = Job.State.RUNNING
        job.attempt += 1
        job.lease_until = timezone.now() + LEASE
        job.save(update_fields=["state", "attempt", "lease_until"])
    return Work(job)


def _close(job: Job, **changes: Any) -> None:
    now = timezone.now()
    for name, value in changes.items():
        setattr(job, name, value)
    job.finished_at = now
    job.expires_at = now + RESULT_KEPT
    job.save()


def give_up(job: Job, reason: str) -> None:
    """Close a locked job that nobody works on any more."""
    _close(job, state=Job.State.REFUSED, refusal=reason)
