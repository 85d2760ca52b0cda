from decimal import Decimal
from typing import Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models.functions import Lower
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from planning.models import Assignment
from studio.people.models import Studio, User
from studio.people.models.base import Identified

from .criteria import Criterion


class RubricQuerySet(models.QuerySet["Rubric"]):
    def visible_to(self, person: User) -> Self:
        """Heads and teachers share the studio's rubrics; students read theirs on their piece."""
        if not person.teaches:
            return self.none()
        return self.filter(studio=person.studio_id)


class Rubric(Identified):
    """What pots are judged by; its words and points stand in its versions."""

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="rubrics")
    title = models.CharField(_("title"), max_length=120)
    # Nobody wrote the shipped one.
    by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    created_at = models.DateTimeField()
    archived = models.BooleanField(_("put away"), default=False)

    objects = RubricQuerySet.as_manager()

    class Meta:
        ordering = ("title",)
        constraints = (
            models.UniqueConstraint(
                Lower("title"),
                "studio",
                name="rubric_title_unique",
                violation_error_message=_("The studio has a rubric of this title already."),
            ),
        )

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return reverse("rubric", args=[self.pk])


class RubricVersion(Identified):
    """Immutable once an assignment uses it; a change afterwards is a new version."""

    rubric = models.ForeignKey(Rubric, on_delete=models.CASCADE, related_name="versions")
    number = models.PositiveSmallIntegerField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ("number",)
        constraints = (
            models.UniqueConstraint("rubric", "number", name="rubric_version_number_once"),
        )

    def __str__(self) -> str:
        return f"{self.rubric} {self.number}"


class EvidenceKind(models.TextChoices):
    """Which of the software's records stand beside a criterion."""

    NONE = "none", _("nothing")
    EXPLORATION = "exploration", _("drawings and the choice")
    SILHOUETTE = "silhouette", _("plan and measured size")
    JOINTS = "joints", _("flaws and losses from making")
    RIM = "rim", _("photos")


class RubricCriterion(Identified):
    """A criterion in one version: its weight and its place. `criterion` is what it is called over
    versions, and what exemptions point at.
    """

    version = models.ForeignKey(RubricVersion, on_delete=models.CASCADE, related_name="criteria")
    criterion = models.ForeignKey(Criterion, on_delete=models.PROTECT, related_name="+")
    position = models.PositiveSmallIntegerField()
    weight = models.DecimalField(
        _("weight"),
        max_digits=5,
        decimal_places=2,
        default=Decimal(1),
        validators=[MinValueValidator(Decimal("0.01")), MaxValueValidator(100)],
    )
    evidence = models.CharField(
        _("evidence beside it"),
        max_length=11,
        choices=EvidenceKind.choices,
        default=EvidenceKind.NONE,
    )

    class Meta:
        ordering = ("position",)
        verbose_name_plural = "rubric criteria"
        constraints = (
            models.UniqueConstraint("version", "criterion", name="rubric_criterion_once_a_version"),
        )

    def __str__(self) -> str:
        return str(self.criterion)


class Level(Identified):
    """One level of a criterion: its points and what work of this level shows."""

    criterion = models.ForeignKey(RubricCriterion, on_delete=models.CASCADE, related_name="levels")
    points = models.DecimalField(
        _("points"),
        max_digits=5,
        decimal_places=2,
        validators=[MinValueValidator(0), MaxValueValidator(100)],
    )
    descriptor = models.TextField(_("what it looks like"), max_length=1000)

    class Meta:
        ordering = ("-points",)
        constraints = (
            models.UniqueConstraint("criterion", "points", name="level_points_once_a_criterion"),
        )

    def __str__(self) -> str:
        return f"{self.criterion} {self.points}"


class AssignmentRubric(models.Model):
    """The version by which an assignment is marked."""

    assignment = models.OneToOneField(Assignment, on_delete=models.CASCADE, related_name="rubric")
    version = models.ForeignKey(RubricVersion, on_delete=models.PROTECT, related_name="uses")
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.assignment} by {self.version}"
