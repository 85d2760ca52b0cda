"""The one way to leave a line about a change."""

from collections.abc import Iterable
from typing import Any

from django.db import models
from django.utils import timezone

from .models import AuditEntry, Studio, User

Change = tuple[models.Model, dict[str, Any], dict[str, Any]]


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
    change = (subject, before or {}, after or {})
    [entry] = record_all(studio=studio, by=by, action=action, changes=[change])
    return entry


def record_all(
    *, studio: Studio, by: User | None, action: str, changes: Iterable[Change]
) -> list[AuditEntry]:
    """One line for each of many changes of one kind, as (subject, before, after)."""
    at = timezone.now()
    return AuditEntry.objects.bulk_create(
        AuditEntry(
            studio=studio,
            by=by,
            at=at,
            action=action,
            subject_kind=subject._meta.label_lower,
            subject_id=str(subject.pk),
            before=before,
            after=after,
        )
        for subject, before, after in changes
    )
