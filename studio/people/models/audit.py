from django.db import models

from .base import Identified
from .person import User
from .studio import Studio


class AuditEntry(Identified):
    """Who changed what, when, from what to what. Written by `studio.people.audit.record`."""

    studio = models.ForeignKey(Studio, on_delete=models.PROTECT, related_name="audit_entries")
    by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField()
    action = models.CharField(max_length=60)
    subject_kind = models.CharField(max_length=60)
    subject_id = models.CharField(max_length=64)
    before = models.JSONField(default=dict)
    after = models.JSONField(default=dict)

    class Meta:
        indexes = (
            models.Index(fields=("subject_kind", "subject_id"), name="audit_by_subject"),
            models.Index(fields=("studio", "-at"), name="audit_by_time"),
        )

    def __str__(self) -> str:
        return f"{self.action} {self.subject_kind}"
