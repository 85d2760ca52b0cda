"""The one way to leave a line about a change."""

from typing import Any

from django.db import models
from django.utils import timezone

from .models import AuditEntry, Studio, User


def record(
    *,
    studio: Studio,
    by: User | None,
    action: str,
    subject: models.Model,
    before: dict[str, Any] | None = None,
    after: dict[str, Any] | None = None,
) -> AuditEntry:
    """Keep who, when, before and after; call it inside the transaction of the change."""
    return AuditEntry.objects.create(
        studio=studio,
        by=by,
        at=timezone.now(),
        action=action,
        subject_kind=subject._meta.label_lower,
        subject_id=str(subject.pk),
        before=before or {},
        after=after or {},
    )
