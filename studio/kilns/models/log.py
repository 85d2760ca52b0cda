from django.db import models
from django.utils.translation import gettext_lazy as _

from studio.people.models import User
from studio.people.models.base import Identified

from .slot import Slot


class LogEntry(Identified):
    """What was read at the kiln: a temperature, a remark, or both."""

    slot = models.ForeignKey(Slot, on_delete=models.CASCADE, related_name="log")
    at = models.DateTimeField(_("when"))
    temp_c = models.FloatField(_("temperature, °C"), null=True, blank=True)
    note = models.CharField(_("remark"), max_length=200, blank=True)
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ("at", "pk")
        verbose_name_plural = "log entries"
        constraints = (
            models.CheckConstraint(
                condition=models.Q(temp_c__isnull=False) | ~models.Q(note=""),
                name="log_entry_says_something",
            ),
        )

    def __str__(self) -> str:
        return f"{self.slot} {self.at:%H:%M}"
