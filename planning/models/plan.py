from typing import Self

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from planning.pictures.outline import Sample
from studio.people.models import User
from studio.people.models.base import Identified

from .piece import Piece


class PlanState(models.TextChoices):
    DRAFT = "draft", _("draft")
    SENT = "sent", _("sent")
    APPROVED = "approved", _("approved")
    SENT_BACK = "sent_back", _("sent back")
    TAKEN_BACK = "taken_back", _("taken back by the student")


class PlanQuerySet(models.QuerySet["PlanVersion"]):
    def visible_to(self, person: User) -> Self:
        """Staff see what was sent; a draft is the student's own."""
        seen = self.filter(piece__in=Piece.objects.visible_to(person).order_by())
        return seen if person.is_student else seen.exclude(state=PlanState.DRAFT)

    def waiting(self) -> Self:
        return self.filter(state=PlanState.SENT)


class PlanVersion(Identified):
    """A measured full-size design. Immutable once sent; a change afterwards is a new version.

    `inputs` is what the student entered (`planning.plans.inputs` reads it), `figures` what was
    computed from it when it was sent, with the version of the computation. Sizes and masses that
    lists need stand as columns too.
    """

    piece = models.ForeignKey(Piece, on_delete=models.CASCADE, related_name="plans")
    number = models.PositiveSmallIntegerField()
    state = models.CharField(max_length=10, choices=PlanState.choices, default=PlanState.DRAFT)
    inputs = models.JSONField()
    figures = models.JSONField(null=True)
    computation = models.CharField(max_length=20, blank=True)
    wet_height_mm = models.FloatField(null=True)
    wet_front_mm = models.FloatField(null=True)
    wet_depth_mm = models.FloatField(null=True)
    fired_height_mm = models.FloatField(null=True)
    pot_wet_g = models.FloatField(null=True)
    issue_g = models.FloatField(null=True)
    changed_at = models.DateTimeField()
    sent_at = models.DateTimeField(null=True)
    decided_at = models.DateTimeField(null=True)
    decided_by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, related_name="+")
    note = models.TextField(_("note to the student"), max_length=2000, blank=True)

    objects = PlanQuerySet.as_manager()

    class Meta:
        ordering = ("number",)
        constraints = (
            models.UniqueConstraint("piece", "number", name="plan_number_once_a_piece"),
            models.UniqueConstraint(
                "piece",
                condition=models.Q(state__in=(PlanState.DRAFT, PlanState.SENT)),
                name="plan_one_open_at_a_time",
            ),
            models.CheckConstraint(
                condition=models.Q(state=PlanState.DRAFT) | models.Q(figures__isnull=False),
                name="plan_sent_with_its_figures",
            ),
        )

    def __str__(self) -> str:
        return f"{self.piece} plan {self.number}"

    @property
    def silhouette(self) -> list[Sample]:
        """(height_mm, left_mm, right_mm) of the wet form from base to rim, once it was sent."""
        kept = (self.figures or {}).get("silhouette", [])
        return [(height, left, right) for height, left, right in kept]

    def get_absolute_url(self) -> str:
        return reverse("plan_review", args=[self.pk])
