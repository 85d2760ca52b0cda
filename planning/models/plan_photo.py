from typing import Any, Self

from django.db import models
from django.utils.translation import gettext_lazy as _

from studio.people.models import User
from studio.people.models.base import Identified
from studio.uploads.models import StoredImage

from .piece import Piece

Row = list[float | None]


class PlanPhotoQuerySet(models.QuerySet["PlanPhoto"]):
    def visible_to(self, person: User) -> Self:
        return self.filter(piece__in=Piece.objects.visible_to(person).order_by())

    def drawn_by(self, person: User) -> Self:
        """Of the student's own pieces, which they may change."""
        return self.filter(piece__in=Piece.objects.drawn_by(person).order_by())


class PlanPhoto(Identified):
    """A photo of a drawing at full size, and what was traced in it.

    `answer` is that of `planning.tracing.run`, None until there is one. `lines` are the height
    lines as traced, corrected or placed by hand: [height_mm, left_mm, right_mm], of a side drawing
    from the side its front and back.
    """

    class Shows(models.TextChoices):
        FRONT = "front", _("the pot from the front")
        SIDE = "side", _("the pot from the side, its front to the left")
        BASE = "base", _("the outline of the base")

    class Scale(models.TextChoices):
        CARD = "card", _("the scale card lies beside the drawing")
        FOUR = "four", _("I tap the ends of two height lines")
        TWO = "two", _("I tap two points on the middle line (rough)")

    class Sides(models.TextChoices):
        BOTH = "both", _("the whole pot")
        LEFT = "left", _("its left half")
        RIGHT = "right", _("its right half")

    piece = models.ForeignKey(Piece, on_delete=models.CASCADE, related_name="plan_photos")
    image = models.OneToOneField(StoredImage, on_delete=models.PROTECT, related_name="+")
    shows = models.CharField(_("what is drawn"), max_length=5, choices=Shows.choices)
    spacing_mm = models.FloatField(_("between height lines"), null=True)
    scale = models.CharField(_("how large it is"), max_length=4, choices=Scale.choices)
    # Where the tapped points are on paper: heights of the two lines, and how far their ends are
    # from the middle line.
    lower_mm = models.FloatField(null=True)
    upper_mm = models.FloatField(null=True)
    left_mm = models.FloatField(null=True)
    right_mm = models.FloatField(null=True)
    taps: models.JSONField[list[list[float]], list[list[float]]] = models.JSONField(default=list)
    # Counts how often a tracing was asked for; the answer to an earlier asking is dropped.
    asked = models.PositiveIntegerField(default=0)
    answer: models.JSONField[dict[str, Any] | None, dict[str, Any] | None] = models.JSONField(
        null=True
    )
    sides = models.CharField(max_length=5, choices=Sides.choices, default=Sides.BOTH)
    lines: models.JSONField[list[Row], list[Row]] = models.JSONField(default=list)
    added_at = models.DateTimeField()
    taken_at = models.DateTimeField(null=True)

    objects = PlanPhotoQuerySet.as_manager()

    class Meta:
        ordering = ("-added_at", "pk")

    def __str__(self) -> str:
        return f"{self.piece} {self.get_shows_display()}"

    @property
    def wants_taps(self) -> bool:
        return self.scale != self.Scale.CARD and not self.taps

    @property
    def is_trusted(self) -> bool:
        return bool(self.answer and self.answer["trusted"])

    @property
    def may_be_placed_by_hand(self) -> bool:
        """Not traced, but the tapped points say where its paper is."""
        return bool(
            self.answer and not self.answer["trusted"] and self.answer.get("points_homography")
        )

    @property
    def is_base(self) -> bool:
        return self.shows == self.Shows.BASE

    @property
    def paper_mm(self) -> list[list[float]]:
        """Where the taps are, right of the middle line and above the table, in their order."""
        lower, upper = self.lower_mm or 0.0, self.upper_mm or 0.0
        if self.scale == self.Scale.TWO:
            return [[0.0, lower], [0.0, upper]]
        left, right = -(self.left_mm or 0.0), self.right_mm or 0.0
        return [[left, lower], [right, lower], [right, upper], [left, upper]]

    @property
    def asked_scale(self) -> dict[str, Any]:
        """As tracing takes it."""
        if self.scale == self.Scale.CARD:
            return {"kind": "card"}
        return {"kind": "points", "image": self.taps, "paper_mm": self.paper_mm}
