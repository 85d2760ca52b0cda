"""The one task on the queue, and the ways onto it."""

import logging

from django.db import transaction
from django.utils import timezone, translation
from django.utils.translation import gettext as _
from django_tasks import DEFAULT_TASK_BACKEND_ALIAS, task, task_backends
from django_tasks_db import DatabaseBackend

from studio.errors import Refused

from .kinds import kind_named
from .models import Job
from .work import LEASE, LeaseLost, Work, claimed, give_up

logger = logging.getLogger(__name__)
MAX_ATTEMPTS = 3


@task()
def run_job(job_id: str) -> None:
    """Do one attempt at a job. Coming twice or late does no harm."""
    work = claimed(job_id=job_id)
    if work is None:
        return
    # As a request of the person who asked runs: in their language and their studio's days.
    with translation.override(work.job.language), timezone.override(work.job.studio.zone):
        try:
            _attempt(work)
        except LeaseLost:
            logger.warning("job %s: attempt %d was overtaken", job_id, work.attempt)
        except Exception:
            logger.exception("job %s: attempt %d broke off", job_id, work.attempt)
            _broke_off(work)


def _attempt(work: Work) -> None:
    try:
        kind_named(work.job.kind).run(work)
    except Refused as refusal:
        work.refuse(str(refusal))
    if not work.is_finished:
        with work.finishing():
            pass


def _broke_off(work: Work) -> None:
    with transaction.atomic():
        running = Job.objects.filter(state=Job.State.RUNNING, attempt=work.attempt)
        if job := running.select_for_update().filter(pk=work.job.pk).first():
            hand_on(job)


def put_on_queue(job: Job) -> None:
    """Call it inside the transaction of the change that needs the work.

    The database queue's row commits with that transaction. A queue that runs at once must not
    see a job that isn't committed; if the process dies in between, the sweep finds the job.
    """
    if isinstance(task_backends[DEFAULT_TASK_BACKEND_ALIAS], DatabaseBackend):
        ranked = run_job.using(priority=kind_named(job.kind).priority)
        job.queue_id = ranked.enqueue(str(job.pk)).id
    else:
        transaction.on_commit(lambda: run_job.enqueue(str(job.pk)))
    job.save()


def hand_on(job: Job) -> None:
    """Give a locked job that nobody works on to the next attempt, or end it in words."""
    if job.state == Job.State.RUNNING and job.attempt >= MAX_ATTEMPTS:
        with translation.override(job.language):
            reason = _(
                "This did not work, though it was tried several times. Try it again; if that "
                "fails too, tell the person who looks after this service."
            )
        give_up(job, reason)
        kind_named(job.kind).give_up(job)
        return
    job.state = Job.State.WAITING
    job.lease_until = timezone.now() + LEASE
    put_on_queue(job)
