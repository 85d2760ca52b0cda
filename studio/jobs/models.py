from datetime import datetime
from typing import Any

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _
from django_tasks import TaskResultStatus
from django_tasks_db.models import DBTaskResult

from studio.people.models import Studio, User
from studio.people.models.base import Identified


class JobQuerySet(models.QuerySet["Job"]):
    def visible_to(self, person: User) -> "JobQuerySet":
        """Whoever asked sees how far it is."""
        return self.filter(by=person)

    def open(self) -> "JobQuerySet":
        return self.filter(state__in=Job.OPEN)

    def adrift(self, at: datetime) -> "JobQuerySet":
        """Open jobs that nobody answers for: the lease ran out, and the queue doesn't hold them.

        A long queue is no reason to ask twice, so a waiting job that is still on it is left alone.
        """
        on_queue = DBTaskResult.objects.filter(
            pk=models.OuterRef("queue_id"), status=TaskResultStatus.READY
        )
        return self.filter(
            models.Q(state=Job.State.RUNNING)
            | models.Q(models.Q(state=Job.State.WAITING) & ~models.Exists(on_queue)),
            lease_until__lt=at,
        )


class Job(Identified):
    """Work that somebody asked for and that a worker does outside the request."""

    class State(models.TextChoices):
        WAITING = "waiting", _("waiting")
        RUNNING = "running", _("under way")
        DONE = "done", _("done")
        REFUSED = "refused", _("did not work")

    OPEN = (State.WAITING, State.RUNNING)

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="jobs")
    by = models.ForeignKey(User, on_delete=models.CASCADE, related_name="jobs")
    kind = models.CharField(max_length=40)
    subjects: models.JSONField[list[str], list[str]] = models.JSONField(default=list)
    unique_key = models.CharField(max_length=200)
    # What else the kind must know: choices in letters and numbers, no words of people.
    wanted: models.JSONField[dict[str, Any], dict[str, Any]] = models.JSONField(default=dict)
    language = models.CharField(max_length=20, default=settings.LANGUAGE_CODE)

    state = models.CharField(max_length=8, choices=State.choices, default=State.WAITING)
    attempt = models.PositiveSmallIntegerField(default=0)
    # While it waits: by when a worker should have picked it up. While it runs: by when the
    # attempt must have said something.
    lease_until = models.DateTimeField()
    queue_id = models.UUIDField(null=True)
    progress = models.PositiveSmallIntegerField(default=0)
    words = models.CharField(max_length=200, blank=True)

    result: models.JSONField[dict[str, Any], dict[str, Any]] = models.JSONField(default=dict)
    refusal = models.TextField(blank=True)
    asked_at = models.DateTimeField()
    finished_at = models.DateTimeField(null=True)
    expires_at = models.DateTimeField(null=True)

    objects = JobQuerySet.as_manager()

    class Meta:
        indexes = (
            models.Index(fields=("state", "lease_until"), name="job_by_lease"),
            models.Index(fields=("expires_at",), name="job_by_expiry"),
        )
        constraints = (
            models.UniqueConstraint(
                "studio",
                "kind",
                "unique_key",
                condition=models.Q(state__in=("waiting", "running")),
                name="job_open_once",
            ),
            models.CheckConstraint(
                condition=models.Q(progress__lte=100), name="job_progress_is_a_percentage"
            ),
            models.CheckConstraint(
                condition=models.Q(state="refused") ^ models.Q(refusal=""),
                name="job_refused_with_a_reason",
            ),
        )

    def __str__(self) -> str:
        return f"{self.kind} {self.state}"
