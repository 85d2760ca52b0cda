"""A class is `Section` in code, where Python owns the word."""

from typing import Self

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from .base import Identified
from .person import Role, User
from .studio import Studio


class SectionQuerySet(models.QuerySet["Section"]):
    def visible_to(self, person: User) -> Self:
        """Heads and technicians: the studio's. Teachers: those they teach. Students: their own."""
        here = self.filter(studio=person.studio_id)
        if person.role in {Role.HEAD, Role.TECHNICIAN}:
            return here
        if person.role == Role.TEACHER:
            return here.filter(
                models.Exists(
                    Teaching.objects.filter(section=models.OuterRef("pk"), teacher=person)
                )
            )
        if person.role == Role.STUDENT:
            return here.filter(
                models.Exists(
                    Enrolment.objects.filter(
                        section=models.OuterRef("pk"), student=person, left_on__isnull=True
                    )
                )
            )
        return self.none()

    def taught_by(self, person: User) -> Self:
        """Where the person may set work and change things: a head everywhere in the studio."""
        return self.visible_to(person) if person.teaches else self.none()

    def current(self) -> Self:
        return self.filter(archived=False)


class Section(Identified):
    """One teaching group with a list of meeting dates.

    `pattern` says how its meeting dates were made (see `studio.people.calendar.Pattern`).
    """

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="sections")
    title = models.CharField(_("name"), max_length=120)
    code = models.CharField(
        _("short name"), max_length=12, blank=True, help_text=_("Scratched into each pot.")
    )
    sourced_id = models.CharField(_("id in the school's roster"), max_length=255, blank=True)
    starts_on = models.DateField(_("first day"), null=True, blank=True)
    ends_on = models.DateField(_("last day"), null=True, blank=True)
    pattern = models.JSONField(default=dict, blank=True)
    archived = models.BooleanField(_("over"), default=False)
    teachers = models.ManyToManyField(User, through="Teaching", related_name="sections_taught")

    objects = SectionQuerySet.as_manager()

    class Meta:
        ordering = ("title",)
        constraints = (
            models.UniqueConstraint(
                "studio",
                "sourced_id",
                condition=~models.Q(sourced_id=""),
                name="section_sourced_id_unique_in_studio",
            ),
            models.CheckConstraint(
                condition=models.Q(starts_on__isnull=True)
                | models.Q(ends_on__isnull=True)
                | models.Q(ends_on__gte=models.F("starts_on")),
                name="section_ends_after_it_starts",
                violation_error_message=_("The last day is before the first."),
            ),
        )

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return reverse("class", args=[self.pk])


class Teaching(models.Model):
    section = models.ForeignKey(Section, on_delete=models.CASCADE, related_name="teachings")
    teacher = models.ForeignKey(User, on_delete=models.CASCADE, related_name="teachings")

    class Meta:
        constraints = (
            models.UniqueConstraint("section", "teacher", name="teaching_once_per_section"),
        )

    def __str__(self) -> str:
        return f"{self.teacher} · {self.section}"


class EnrolmentQuerySet(models.QuerySet["Enrolment"]):
    def visible_to(self, person: User) -> Self:
        """Staff: those of classes they see. Students: their own."""
        if person.role == Role.STUDENT:
            return self.filter(student=person)
        return self.filter(section__in=Section.objects.visible_to(person))

    def current(self) -> Self:
        return self.filter(left_on__isnull=True)


class Enrolment(models.Model):
    """A student in a class. Leaving ends it; the row stays, as the work does."""

    section = models.ForeignKey(Section, on_delete=models.CASCADE, related_name="enrolments")
    student = models.ForeignKey(User, on_delete=models.CASCADE, related_name="enrolments")
    joined_on = models.DateField()
    left_on = models.DateField(null=True, blank=True)
    sourced_id = models.CharField(max_length=255, blank=True)

    objects = EnrolmentQuerySet.as_manager()

    class Meta:
        constraints = (
            models.UniqueConstraint(
                "section",
                "student",
                condition=models.Q(left_on__isnull=True),
                name="enrolment_once_at_a_time",
            ),
        )

    def __str__(self) -> str:
        return f"{self.student} · {self.section}"
