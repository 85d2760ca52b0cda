from typing import Self

from django.db import models
from django.utils.translation import gettext_lazy as _

from .base import Identified
from .person import User
from .section import Section
from .studio import Studio


class Closure(Identified):
    """Days on which the whole studio is shut."""

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="closures")
    name = models.CharField(_("what for"), max_length=80)
    starts_on = models.DateField(_("first day"))
    ends_on = models.DateField(_("last day"))

    class Meta:
        ordering = ("starts_on",)
        constraints = (
            models.CheckConstraint(
                condition=models.Q(ends_on__gte=models.F("starts_on")),
                name="closure_ends_after_it_starts",
                violation_error_message=_("The last day is before the first."),
            ),
        )

    def __str__(self) -> str:
        return self.name


class MeetingQuerySet(models.QuerySet["Meeting"]):
    def visible_to(self, person: User) -> Self:
        return self.filter(section__in=Section.objects.visible_to(person))

    def held(self) -> Self:
        return self.filter(cancelled=False)


class Meeting(Identified):
    """A lesson of a class, on a local date. Made from the pattern, each one editable."""

    section = models.ForeignKey(Section, on_delete=models.CASCADE, related_name="meetings")
    on = models.DateField(_("date"))
    note = models.CharField(_("note"), max_length=200, blank=True)
    by_hand = models.BooleanField(
        default=False, help_text=_("Added or changed by hand: a new pattern leaves it alone.")
    )
    cancelled = models.BooleanField(_("falls out"), default=False)

    objects = MeetingQuerySet.as_manager()

    class Meta:
        ordering = ("on",)
        constraints = (models.UniqueConstraint("section", "on", name="meeting_once_a_day"),)

    def __str__(self) -> str:
        return f"{self.section} {self.on:%Y-%m-%d}"


class Absence(models.Model):
    meeting = models.ForeignKey(Meeting, on_delete=models.CASCADE, related_name="absences")
    student = models.ForeignKey(User, on_delete=models.CASCADE, related_name="absences")

    class Meta:
        constraints = (models.UniqueConstraint("meeting", "student", name="absence_once"),)

    def __str__(self) -> str:
        return f"{self.student} · {self.meeting}"
