from typing import Any, Self

from django.db import models
from django.utils.translation import gettext_lazy as _

from planning.exploration.kept import VERSION as FORM_VERSION
from planning.exploration.kept import unpacked
from planning.exploration.reading import Unread
from planning.exploration.silhouette import Drawn
from studio.people.models import User
from studio.people.models.base import Identified
from studio.uploads.models import StoredImage

from .piece import Piece


class DrawnForm(models.Model):
    """What was read of a photo of one drawing, kept so that comparing needs no picture.

    `form` and `strokes` as `planning.exploration.kept` packs them; where there is no form, `code`,
    `values` and `at` say why, as `planning.exploration.reading.Unread` does.
    """

    class At(models.TextChoices):
        FILE = "file"
        DRAWING = "drawing"

    image = models.OneToOneField(StoredImage, on_delete=models.CASCADE, related_name="drawn_form")
    version = models.PositiveSmallIntegerField()
    form = models.BinaryField()
    strokes = models.BinaryField()
    at = models.CharField(max_length=7, choices=At.choices, blank=True)
    code = models.CharField(max_length=20, blank=True)
    values: models.JSONField[dict[str, Any], dict[str, Any]] = models.JSONField(default=dict)

    class Meta:
        constraints = (
            models.CheckConstraint(
                condition=models.Q(code="", at="") | ~models.Q(code="") & ~models.Q(at=""),
                name="drawn_form_or_a_reason",
            ),
        )

    def __str__(self) -> str:
        return f"form in {self.image_id}"

    @property
    def is_current(self) -> bool:
        return self.version == FORM_VERSION

    @property
    def read(self) -> Drawn | Unread:
        """As comparing takes it."""
        if self.code:
            return Unread(self.code, self.values, "file" if self.at == "file" else "drawing")
        return Drawn(unpacked(bytes(self.form)), unpacked(bytes(self.strokes)))


class Ideas(models.Model):
    """How many ideas the standing thumbnails of a piece show, and which of them are one.

    `of` are those compared, in the order drawn. `answer` has their ids where
    `planning.exploration.run.comparison` has numbers: `groups`, `copies`, `unreadable`; `distinct`,
    `low`, `high` and `vendi`; `readable` and their `similarity`; `shapes` by id, [build, widest].
    It is None where comparing failed. `put_right` is what `planning.exploration.by_hand.put_right`
    makes of it where a teacher changed something. `most` is the upper end: so many ideas at most.
    """

    VERSION = 2  # goes up when comparing changes: earlier answers are computed anew

    piece = models.OneToOneField(Piece, on_delete=models.CASCADE, related_name="ideas")
    of: models.JSONField[list[str], list[str]] = models.JSONField()
    count = models.PositiveSmallIntegerField()
    most = models.PositiveSmallIntegerField()
    answer: models.JSONField[dict[str, Any] | None, dict[str, Any] | None] = models.JSONField(
        null=True
    )
    put_right: models.JSONField[dict[str, Any] | None, dict[str, Any] | None] = models.JSONField(
        null=True
    )
    version = models.PositiveSmallIntegerField()
    computed_at = models.DateTimeField()

    class Meta:
        verbose_name_plural = "ideas"

    def __str__(self) -> str:
        return f"{self.piece} ideas"

    def is_of(self, thumbnails: set[str]) -> bool:
        """Whether it is the answer for these, by their ids, as it is computed today."""
        return self.version == self.VERSION and set(self.of) == thumbnails

    @property
    def told(self) -> dict[str, Any] | None:
        """The answer as it holds, with what a teacher put right."""
        return None if self.answer is None else self.answer | (self.put_right or {})


class IdeaChangeQuerySet(models.QuerySet["IdeaChange"]):
    def standing(self) -> Self:
        return self.filter(undone_at__isnull=True)


class IdeaChange(Identified):
    """A teacher's word on which drawings are one idea, with the reason; undoing it keeps it.

    `of` are the thumbnails that it is about, by their ids.
    """

    class Kind(models.TextChoices):
        JOIN = "join", _("one idea")
        SEPARATE = "separate", _("different ideas")

    piece = models.ForeignKey(Piece, on_delete=models.CASCADE, related_name="idea_changes")
    kind = models.CharField(max_length=8, choices=Kind.choices)
    of: models.JSONField[list[str], list[str]] = models.JSONField()
    reason = models.TextField(_("reason"), max_length=1000)
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    undone_at = models.DateTimeField(null=True)

    objects = IdeaChangeQuerySet.as_manager()

    class Meta:
        ordering = ("at", "pk")

    def __str__(self) -> str:
        return f"{self.piece} {self.kind}"
