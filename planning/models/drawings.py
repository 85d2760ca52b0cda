from typing import Any, Self

from django.db import models
from django.utils.translation import gettext_lazy as _

from studio.people.models import User
from studio.people.models.base import Identified
from studio.uploads.models import StoredImage

from .brief import SourceForm
from .piece import Piece


class DrawingQuerySet(models.QuerySet[Any]):
    def visible_to(self, person: User) -> Self:
        return self.filter(piece__in=Piece.objects.visible_to(person).order_by())

    def standing(self) -> Self:
        """Not withdrawn, and not a photo that could not be read."""
        return self.filter(withdrawn_at__isnull=True).exclude(
            image__state=StoredImage.State.REFUSED
        )

    def readable(self) -> Self:
        """Standing, and their photo has been read: what counts."""
        return self.standing().filter(image__state=StoredImage.State.READY)


class Drawing(Identified):
    """A photo of something drawn for a piece. Withdrawing keeps it, and can be undone."""

    piece = models.ForeignKey(Piece, on_delete=models.CASCADE, related_name="%(class)ss")
    image = models.OneToOneField(StoredImage, on_delete=models.PROTECT, related_name="+")
    note = models.CharField(_("note"), max_length=300, blank=True)
    added_at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        abstract = True


class Thumbnail(Drawing):
    """One small drawing of a pot idea, or a photo of a clay model or a cut-paper shape."""

    source_form = models.ForeignKey(
        SourceForm,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("source form"),
    )
    position = models.PositiveIntegerField()
    # Cut out of a sheet: which one, and where on it: x, y, width, height.
    sheet = models.ForeignKey(
        "planning.Sheet", on_delete=models.PROTECT, null=True, blank=True, related_name="thumbnails"
    )
    box: models.JSONField[list[int] | None, list[int] | None] = models.JSONField(
        null=True, blank=True
    )

    objects = DrawingQuerySet.as_manager()

    class Meta:
        ordering = ("position", "added_at")

    def __str__(self) -> str:
        return f"{self.piece} thumbnail {self.position}"


class Refinement(Drawing):
    """A drawing made after the choice that develops it."""

    objects = DrawingQuerySet.as_manager()

    class Meta:
        ordering = ("added_at",)

    def __str__(self) -> str:
        return f"{self.piece} refinement"


class ChoiceQuerySet(models.QuerySet["Choice"]):
    def current(self) -> Self:
        """Those that hold: no later choice replaced them."""
        return self.filter(replaced_at__isnull=True)


class Choice(Identified):
    """The thumbnail that the student commits to, with the reason. A new choice replaces it.

    Of the moment of choosing it keeps how many thumbnails stood, and how many distinct ideas they
    were, from `low` to `high`; None where they had not been compared by then.
    """

    piece = models.ForeignKey(Piece, on_delete=models.CASCADE, related_name="choices")
    thumbnail = models.ForeignKey(Thumbnail, on_delete=models.PROTECT, related_name="choices")
    reason = models.TextField(_("why this one"), max_length=1000)
    at = models.DateTimeField()
    replaced_at = models.DateTimeField(null=True, blank=True)
    thumbnail_count = models.PositiveSmallIntegerField(null=True)
    distinct = models.FloatField(null=True)
    low = models.FloatField(null=True)
    high = models.FloatField(null=True)

    objects = ChoiceQuerySet.as_manager()

    class Meta:
        ordering = ("at",)
        constraints = (
            models.UniqueConstraint(
                "piece",
                condition=models.Q(replaced_at__isnull=True),
                name="choice_one_at_a_time",
            ),
        )

    def __str__(self) -> str:
        return f"{self.piece} choice"


class LetThrough(models.Model):
    """A teacher lets one student choose before the brief's counts are met; the reason is kept."""

    piece = models.OneToOneField(Piece, on_delete=models.CASCADE, related_name="let_through")
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    reason = models.TextField(_("reason"), max_length=1000)
    at = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.piece} let through"
