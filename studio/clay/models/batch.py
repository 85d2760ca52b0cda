from typing import Self

from django.db import models
from django.utils.translation import gettext_lazy as _

from studio.people.models import User

from .entry import Entry


class BatchQuerySet(models.QuerySet["Batch"]):
    def visible_to(self, person: User) -> Self:
        if not person.is_staff:
            return self.none()
        return self.filter(out__studio=person.studio_id)

    def drying(self) -> Self:
        """Neither ready, nor put back, nor thrown away."""
        return self.filter(
            out__made_into__isnull=True,
            out__reversed_by__isnull=True,
            thrown_away_at__isnull=True,
        )


class Batch(models.Model):
    """Scrap of one bucket that was put out to dry to building stiffness, until it is weighed again.

    `out` is the entry that took it from what came back; the entry that is made from it ends the
    batch, and the difference of the two is what was lost on the way.
    """

    out = models.OneToOneField(
        Entry, on_delete=models.PROTECT, primary_key=True, related_name="batch"
    )
    ready_on = models.DateField(_("ready on, about"))
    thrown_away_at = models.DateTimeField(null=True, blank=True)
    reason = models.CharField(_("what happened"), max_length=400, blank=True)

    objects = BatchQuerySet.as_manager()

    class Meta:
        ordering = ("ready_on", "pk")
        verbose_name_plural = "batches"

    def __str__(self) -> str:
        return f"{self.out} {self.ready_on:%Y-%m-%d}"

    @property
    def taken_g(self) -> int:
        """How much scrap was put out."""
        return -self.out.grams
