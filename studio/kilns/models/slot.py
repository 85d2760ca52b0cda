from datetime import datetime, timedelta
from typing import Self

from django.db import models
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from studio.kilns.hours import unload_window
from studio.people.models import Section, Studio, User
from studio.people.models.base import Identified
from studio.room.models import Kiln

from .program import Program

CUT_SHORT = timedelta(hours=1)
"""A controller's program and ours agree better than this (common practice, no source)."""

CHANGED = ("edition", "changed_at")
"""What `Slot.changed` sets."""


class Series(Identified):
    """Slots that come every week: made once, each one editable afterwards."""

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="slot_series")
    made_at = models.DateTimeField()

    class Meta:
        verbose_name_plural = "series"

    def __str__(self) -> str:
        return f"{self.made_at:%Y-%m-%d}"


class SlotQuerySet(models.QuerySet["Slot"]):
    def visible_to(self, person: User) -> Self:
        if not person.is_staff:
            return self.none()
        return self.filter(studio=person.studio_id)

    def standing(self) -> Self:
        return self.filter(cancelled_at__isnull=True)

    def open(self) -> Self:
        """Pots may still go in."""
        return self.standing().filter(lit_at__isnull=True)


class Slot(Identified):
    """A dated start of one kiln with a program. `ends_at` and `unload_at` are computed from the
    program and the kiln's own cooling, and kept; what happened stands beside what was planned.
    """

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="slots")
    kiln = models.ForeignKey(Kiln, on_delete=models.PROTECT, related_name="slots")
    program = models.ForeignKey(Program, on_delete=models.PROTECT, related_name="slots")
    series = models.ForeignKey(
        Series, on_delete=models.SET_NULL, null=True, blank=True, related_name="slots"
    )
    starts_at = models.DateTimeField(_("starts"))
    ends_at = models.DateTimeField()  # the program's end: the kiln should be off
    unload_at = models.DateTimeField()  # below the kiln's unloading temperature
    confirms_shut_off = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    part_full_reason = models.CharField(_("why it fires part full"), max_length=200, blank=True)
    note = models.CharField(_("note"), max_length=400, blank=True)
    cancelled_at = models.DateTimeField(null=True, blank=True)

    lit_at = models.DateTimeField(null=True, blank=True)
    lit_by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, related_name="+")
    off_at = models.DateTimeField(null=True, blank=True)
    off_by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, related_name="+")
    witness_cone = models.CharField(_("witness cone"), max_length=40, blank=True)
    # What the meter counted; None where nobody read it.
    metered_kwh = models.FloatField(_("kilowatt-hours by the meter"), null=True, blank=True)
    unloaded_at = models.DateTimeField(null=True, blank=True)
    unloaded_by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, related_name="+")

    # How often what a calendar shows of it changed, and when last.
    edition = models.PositiveIntegerField(default=0)
    changed_at = models.DateTimeField(default=timezone.now)
    # Classes whose pots were packed when it was cancelled: their calendars say so.
    cancelled_for = models.ManyToManyField(Section, related_name="+", blank=True)

    objects = SlotQuerySet.as_manager()

    class Meta:
        ordering = ("starts_at", "kiln__name")
        indexes = (models.Index(fields=("studio", "starts_at"), name="slot_by_time"),)
        constraints = (
            models.UniqueConstraint(
                "kiln",
                "starts_at",
                condition=models.Q(cancelled_at__isnull=True),
                name="slot_kiln_starts_once",
            ),
            models.CheckConstraint(
                condition=models.Q(starts_at__lt=models.F("ends_at"))
                & models.Q(ends_at__lte=models.F("unload_at")),
                name="slot_in_the_order_of_a_firing",
            ),
            models.CheckConstraint(
                condition=models.Q(off_at__isnull=True) | models.Q(lit_at__isnull=False),
                name="slot_off_after_it_was_lit",
            ),
            models.CheckConstraint(
                condition=models.Q(unloaded_at__isnull=True) | models.Q(off_at__isnull=False),
                name="slot_unloaded_after_it_was_off",
            ),
        )

    def __str__(self) -> str:
        return f"{self.kiln} {self.starts_at:%Y-%m-%d %H:%M}"

    def get_absolute_url(self) -> str:
        return reverse("slot", args=[self.pk])

    @property
    def off_due_at(self) -> datetime:
        """When the kiln should be off: lit later than planned, it ends later by as much."""
        return self.ends_at + (self.lit_at - self.starts_at if self.lit_at else timedelta())

    @property
    def is_cut_short(self) -> bool:
        """Seen to be off well before its program's end: what is in it may not be fired."""
        return self.off_at is not None and self.off_at < self.off_due_at - CUT_SHORT

    @property
    def unload_due_at(self) -> datetime:
        """When it should be cool enough, counted from the shut-off that was seen or is due."""
        return self.unload_at + ((self.off_at or self.off_due_at) - self.ends_at)

    @property
    def unload_window(self) -> tuple[datetime, datetime]:
        """From when until when it is expected to be cool enough, however dense the load."""
        return unload_window(self.off_at or self.off_due_at, self.unload_due_at)

    def changed(self, at: datetime) -> None:
        """What a calendar shows of it is no longer the same. Not saved."""
        self.edition += 1
        self.changed_at = at
