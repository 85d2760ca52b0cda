from typing import Self

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from studio.people.models import Section, User
from studio.people.models.base import Identified

from .brief import Brief, Terms


class AssignmentQuerySet(models.QuerySet["Assignment"]):
    def visible_to(self, person: User) -> Self:
        """Those of the classes that the person sees."""
        return self.filter(section__in=Section.objects.visible_to(person).order_by())

    def taught_by(self, person: User) -> Self:
        return self.visible_to(person) if person.teaches else self.none()


class Assignment(Identified, Terms):
    """One brief given to one class, with its dates and its own copy of the brief's terms."""

    brief = models.ForeignKey(Brief, on_delete=models.PROTECT, related_name="assignments")
    section = models.ForeignKey(Section, on_delete=models.CASCADE, related_name="assignments")
    title = models.CharField(_("title"), max_length=120)
    given_on = models.DateField(_("given on"))
    due_on = models.DateField(_("due on"))
    ideas_counted = models.BooleanField(_("ideas are counted"), default=True)

    objects = AssignmentQuerySet.as_manager()

    class Meta:
        ordering = ("-given_on", "title")
        constraints = (
            models.UniqueConstraint("brief", "section", name="brief_given_once_to_a_class"),
            models.CheckConstraint(
                condition=models.Q(due_on__gt=models.F("given_on")),
                name="assignment_due_after_it_is_given",
                violation_error_message=_("The due date is not after the day it is given."),
            ),
        )

    def __str__(self) -> str:
        return f"{self.section}, {self.title}"

    def get_absolute_url(self) -> str:
        return reverse("assignment", args=[self.pk])

    @property
    def asked_ideas(self) -> int | None:
        """None too where the class's ideas aren't counted."""
        return self.least_distinct_ideas if self.ideas_counted else None


class MilestoneKind(models.TextChoices):
    """In the order of the job."""

    THUMBNAILS = "thumbnails", _("thumbnails drawn")
    CHOSEN = "chosen", _("design chosen")
    REFINED = "refined", _("design refined")
    PLAN_SENT = "plan_sent", _("plan sent")
    BUILT = "built", _("pot built")


class Milestone(Identified):
    """A date on which the class should have come so far. Local, movable."""

    assignment = models.ForeignKey(Assignment, on_delete=models.CASCADE, related_name="milestones")
    kind = models.CharField(_("what"), max_length=12, choices=MilestoneKind.choices)
    on = models.DateField(_("by"))

    class Meta:
        ordering = ("on",)
        constraints = (
            models.UniqueConstraint("assignment", "kind", name="milestone_once_per_kind"),
        )

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.on:%Y-%m-%d}"


class Adjustment(models.Model):
    """A student's own least counts, with a reason that only their teachers read."""

    assignment = models.ForeignKey(Assignment, on_delete=models.CASCADE, related_name="adjustments")
    student = models.ForeignKey(User, on_delete=models.CASCADE, related_name="+")
    least_thumbnails = models.PositiveSmallIntegerField(null=True, blank=True)
    least_source_forms = models.PositiveSmallIntegerField(null=True, blank=True)
    least_refinements = models.PositiveSmallIntegerField(null=True, blank=True)
    private_reason = models.TextField(_("private reason"), max_length=2000)
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = (
            models.UniqueConstraint("assignment", "student", name="adjustment_once_a_student"),
        )

    def __str__(self) -> str:
        return f"{self.student} · {self.assignment}"


class OwnDate(models.Model):
    """A student's own date for a milestone."""

    milestone = models.ForeignKey(Milestone, on_delete=models.CASCADE, related_name="own_dates")
    student = models.ForeignKey(User, on_delete=models.CASCADE, related_name="+")
    on = models.DateField(_("by"))

    class Meta:
        constraints = (
            models.UniqueConstraint("milestone", "student", name="own_date_once_a_student"),
        )

    def __str__(self) -> str:
        return f"{self.student} {self.on:%Y-%m-%d}"
