from typing import Literal, Self

from django.db import models
from django.utils.translation import gettext_lazy as _

from planning.splitting.boxes import Box
from studio.people.models import User
from studio.people.models.base import Identified
from studio.uploads.models import StoredImage

from .piece import Piece

State = Literal["reading", "refused", "apart", "proposed", "taken"]


class SheetQuerySet(models.QuerySet["Sheet"]):
    def visible_to(self, person: User) -> Self:
        return self.filter(piece__in=Piece.objects.visible_to(person).order_by())

    def drawn_by(self, person: User) -> Self:
        """Of the student's own pieces, which they may change."""
        return self.filter(piece__in=Piece.objects.drawn_by(person).order_by())

    def taught_by(self, person: User) -> Self:
        return self.filter(piece__in=Piece.objects.taught_by(person).order_by())

    def waiting(self) -> Self:
        """Their drawings are not among the thumbnails yet."""
        return self.filter(taken_at__isnull=True)


class Sheet(Identified):
    """One photo with several drawings on it, and the boxes around them.

    `boxes` are [x, y, width, height] in pixels of the stored picture, in the order of reading; None
    until it was taken apart. `edition` counts how often they changed. Once taken, each is a
    thumbnail.
    """

    class Found(models.TextChoices):
        """What came of taking it apart, and of cutting its drawings out."""

        SEVERAL = "several", _("several drawings")
        ONE = "one", _("one drawing")
        NONE = "none", _("no drawing")
        UNREAD = "unread", _("could not be taken apart")
        UNCUT = "uncut", _("its drawings could not be cut out")

    piece = models.ForeignKey(Piece, on_delete=models.CASCADE, related_name="sheets")
    image = models.OneToOneField(StoredImage, on_delete=models.PROTECT, related_name="+")
    boxes: models.JSONField[list[Box] | None, list[Box] | None] = models.JSONField(null=True)
    found = models.CharField(max_length=8, choices=Found.choices, blank=True)
    edition = models.PositiveIntegerField(default=0)
    added_at = models.DateTimeField()
    taken_at = models.DateTimeField(null=True)

    objects = SheetQuerySet.as_manager()

    class Meta:
        ordering = ("-added_at", "pk")

    def __str__(self) -> str:
        return f"{self.piece} sheet"

    @property
    def state(self) -> State:
        """How far it is; its image fetched."""
        if self.taken_at is not None:
            return "taken"
        if not self.image.is_ready:
            return "reading" if self.image.state == StoredImage.State.RECEIVED else "refused"
        return "apart" if self.boxes is None else "proposed"
