from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Any

from django.db import models

from .piece import Piece


@dataclass(frozen=True)
class Way:
    """What of a piece is compared from the choice on, by ids: its refinements in the order drawn,
    and all that may be most like the plan that holds, else the one that waits."""

    chosen: str
    refinements: Sequence[str]
    thumbnails: Collection[str]
    plan: str

    @property
    def as_json(self) -> dict[str, Any]:
        return {
            "chosen": self.chosen,
            "refinements": list(self.refinements),
            "thumbnails": sorted(self.thumbnails),
            "plan": self.plan,
        }


class Steps(models.Model):
    """How far each drawing of a piece is from the one before it, from the chosen one on, and which
    is most like the plan.

    `of` says what was compared. `answer`, None where comparing failed: `alike`, the likeness of
    each refinement to the drawing before it, null beside one that shows no form; `nearest`, the id
    of the drawing that is most like the plan, with how alike, or null; `unreadable` by id, with
    `at`, `code` and `values` as `planning.exploration.reading.Unread` says why.
    """

    VERSION = 1  # goes up when comparing changes: earlier answers are computed anew

    piece = models.OneToOneField(Piece, on_delete=models.CASCADE, related_name="steps")
    of: models.JSONField[dict[str, Any], dict[str, Any]] = models.JSONField()
    answer: models.JSONField[dict[str, Any] | None, dict[str, Any] | None] = models.JSONField(
        null=True
    )
    version = models.PositiveSmallIntegerField()
    computed_at = models.DateTimeField()

    class Meta:
        verbose_name_plural = "steps"

    def __str__(self) -> str:
        return f"{self.piece} steps"

    def is_of(self, way: Way) -> bool:
        """Whether it is the answer for this way, as it is computed today."""
        return self.version == self.VERSION and self.of == way.as_json
