"""Asking for work, and seeing that it is done."""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.conf import settings
from django.db import transaction
from django.utils.translation import get_language
from django_tasks_db.models import DBTaskResult

from studio.people.models import Studio, User

from .models import Job
from .tasks import hand_on, put_on_queue
from .work import LEASE

# How long the queue's own rows stay, for looking into trouble.
QUEUE_ROWS_KEPT = timedelta(days=1)


def ask_for(
    *,
    kind: str,
    studio: Studio,
    by: User,
    subjects: Sequence[UUID],
    unique_key: str,
    at: datetime,
    wanted: Mapping[str, Any] | None = None,
) -> Job:
    """Have `kind` done to `subjects`, as `wanted` says; the same ask while one is open gives that
    one, so that the key must say what is wanted too.

    Commits with the transaction that it is called in, and never runs before that.
    """
    with transaction.atomic():
        # The database allows one open job of a key, so who asks at the same moment gets it too.
        job, is_new = Job.objects.open().get_or_create(
            studio=studio,
            kind=kind,
            unique_key=unique_key,
            defaults={
                "by": by,
                "subjects": [str(subject) for subject in subjects],
                "wanted": dict(wanted or {}),
                "language": get_language() or settings.LANGUAGE_CODE,
                "lease_until": at + LEASE,
                "asked_at": at,
            },
        )
        if is_new:
            put_on_queue(job)
        return job


def sweep_jobs(*, at: datetime) -> int:
    """Take over every job that nobody answers for any more; how many there were."""
    # Read first: a sweep that finds nothing must not take SQLite's write lock.
    found = list(Job.objects.adrift(at).values_list("pk", flat=True))
    for job_id in found:
        with transaction.atomic():
            # Its attempt may have come back to life since.
            if job := Job.objects.adrift(at).select_for_update().filter(pk=job_id).first():
                hand_on(job)
    return len(found)


def clear_finished_jobs(*, at: datetime) -> None:
    """Delete results that have expired, and the queue's rows that say nothing any more."""
    Job.objects.exclude(state__in=Job.OPEN).filter(expires_at__lt=at).delete()
    DBTaskResult.objects.filter(started_at__lt=at - QUEUE_ROWS_KEPT).delete()
