from django.db import models
from django.utils.translation import gettext_lazy as _

from planning.models import Assignment
from studio.people.models import Studio, User
from studio.people.models.base import Identified


class Criterion(Identified):
    """One part of what is judged, such as joint quality."""

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="criteria")
    title = models.CharField(_("title"), max_length=80)
    position = models.PositiveSmallIntegerField()

    class Meta:
        ordering = ("position",)
        verbose_name_plural = "criteria"
        constraints = (models.UniqueConstraint("studio", "title", name="criterion_title_unique"),)

    def __str__(self) -> str:
        return self.title


class Exemption(models.Model):
    """A student isn't judged by this criterion in this assignment."""

    assignment = models.ForeignKey(Assignment, on_delete=models.CASCADE, related_name="exemptions")
    student = models.ForeignKey(User, on_delete=models.CASCADE, related_name="+")
    criterion = models.ForeignKey(Criterion, on_delete=models.PROTECT, related_name="+")
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = (
            models.UniqueConstraint(
                "assignment", "student", "criterion", name="exemption_once_a_criterion"
            ),
        )

    def __str__(self) -> str:
        return f"{self.student} · {self.criterion}"
