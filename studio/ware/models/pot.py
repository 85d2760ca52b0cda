from typing import Self

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from planning.models import Piece, PlanVersion
from studio.people.models import Studio, User
from studio.people.models.base import Identified

from .place import Place


class Stage(models.TextChoices):
    """In the order of the job; finishes without glaze skip some."""

    WET = "wet", pgettext_lazy("stage of a pot", "wet")
    LEATHER_HARD = "leather_hard", _("leather-hard")
    BONE_DRY = "bone_dry", _("bone dry")
    BISQUE_FIRED = "bisque_fired", _("bisque fired")
    GLAZED = "glazed", pgettext_lazy("stage of a pot", "glazed")
    GLAZE_FIRED = "glaze_fired", _("glaze fired")
    ON_DISPLAY = "on_display", _("on display")
    COLLECTED = "collected", pgettext_lazy("stage of a pot", "collected")


class Lost(models.TextChoices):
    """Beside the stage: a pot that can't go on."""

    BROKEN = "broken", pgettext_lazy("stage of a pot", "broken")
    MISSING = "missing", pgettext_lazy("stage of a pot", "missing")


class PotQuerySet(models.QuerySet["Pot"]):
    def visible_to(self, person: User) -> Self:
        """Those of the pieces that the person sees."""
        return self.filter(piece__in=Piece.objects.visible_to(person).order_by())

    def alive(self) -> Self:
        """Neither lost nor taken home."""
        return self.filter(lost="").exclude(stage=Stage.COLLECTED)

    def standing(self) -> Self:
        """Not lost: the pot of its piece."""
        return self.filter(lost="")


class Pot(Identified):
    """The physical thing made from a piece's approved plan, which it pins.

    A collapsed pot is lost, and another one of the same piece gets the next number.
    """

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="pots")
    piece = models.ForeignKey(Piece, on_delete=models.PROTECT, related_name="pots")
    number = models.PositiveSmallIntegerField(default=1)
    plan = models.ForeignKey(PlanVersion, on_delete=models.PROTECT, related_name="pots")
    stage = models.CharField(max_length=12, choices=Stage.choices, default=Stage.WET)
    stage_at = models.DateTimeField()
    lost = models.CharField(max_length=7, choices=Lost.choices, blank=True, default="")
    place = models.ForeignKey(
        Place, on_delete=models.PROTECT, null=True, blank=True, related_name="pots"
    )
    placed_at = models.DateTimeField(null=True, blank=True)
    # Since when it is wrapped against the air; None while it stands open.
    covered_since = models.DateTimeField(null=True, blank=True)
    begun_at = models.DateTimeField()
    # The student says that building has ended; it waits for the greenware check, which empties it.
    said_built_at = models.DateTimeField(null=True, blank=True)

    objects = PotQuerySet.as_manager()

    class Meta:
        ordering = ("piece__student__family_name", "piece__student__given_name", "piece__code")
        constraints = (
            models.UniqueConstraint("piece", "number", name="pot_number_once_a_piece"),
            models.UniqueConstraint(
                "piece", condition=models.Q(lost=""), name="pot_one_standing_a_piece"
            ),
            models.CheckConstraint(
                condition=models.Q(number__gte=1), name="pot_numbers_count_from_one"
            ),
        )
        indexes = (models.Index(fields=("studio", "stage"), name="pot_by_stage"),)

    def __str__(self) -> str:
        return self.code

    @property
    def code(self) -> str:
        """What is scratched into its base. The piece is loaded."""
        return self.piece.code if self.number == 1 else f"{self.piece.code}/{self.number}"

    def get_absolute_url(self) -> str:
        return reverse("pot", args=[self.pk])


class StageEntry(models.Model):
    """One step of a pot: when it came to a stage, and who said so. Never changed."""

    pot = models.ForeignKey(Pot, on_delete=models.CASCADE, related_name="stage_entries")
    stage = models.CharField(max_length=12, choices=Stage.choices)
    before = models.CharField(max_length=12, choices=Stage.choices, blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    reason = models.CharField(max_length=400, blank=True)

    class Meta:
        ordering = ("at", "pk")
        verbose_name_plural = "stage entries"

    def __str__(self) -> str:
        return f"{self.pot} {self.stage}"
