"""What was traced in a photo: corrected, placed by hand, taken into the plan and out of it."""

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from planning.models import Piece, PlanPhoto, PlanVersion
from planning.models.plan_photo import Row
from planning.plans.beginning import untouched
from planning.plans.inputs import Line, drawn_from_json, first_lines
from planning.plans.merging import with_base, with_front, with_side
from planning.selectors.plans import newest_version
from studio.errors import Conflict, Refused

from .plan_photos import locked_photo
from .plans import save_draft

_LEAST_LINES = 2
_ANEW = gettext_lazy("This photo was traced anew meanwhile. Look again.")


def correct_lines(
    *,
    photo: PlanPhoto,
    halves: Sequence[tuple[float | None, float | None]],
    asked: int | None = None,
) -> PlanPhoto:
    """Other half-widths at the photo's height lines, from below. `asked` is the asking whose lines
    they are, where it is known."""
    with transaction.atomic():
        kept = locked_photo(photo)
        _refuse_other(kept, asked)
        if len(halves) != len(kept.lines):
            raise Conflict(str(_ANEW))
        kept.lines = [
            [height, left, right]
            for (height, *_old), (left, right) in zip(kept.lines, halves, strict=True)
        ]
        kept.save(update_fields=["lines"])
    return kept


def begin_by_hand(*, photo: PlanPhoto, height_mm: float, every_mm: float, sides: str) -> PlanPhoto:
    """Height lines to be placed by hand over a photo that couldn't be traced but has a scale."""
    with transaction.atomic():
        kept = locked_photo(photo)
        if not kept.may_be_placed_by_hand:
            raise Conflict(_("Without its scale nothing can be measured in this photo."))
        kept.lines = [[line.height_mm, None, None] for line in first_lines(height_mm, every_mm)]
        kept.sides = sides
        kept.asked += 1  # half-widths of other heights, from another window, are none of these
        kept.save(update_fields=["lines", "sides", "asked"])
    return kept


def begin_again(*, piece: Piece, lines: tuple[Line, ...], at: datetime) -> PlanVersion:
    """A draft with other height lines and nothing measured, so no photo stands in it any more."""
    with transaction.atomic():
        draft = save_draft(piece=piece, drawn=untouched(piece.assignment, lines), at=at)
        PlanPhoto.objects.filter(piece=piece).update(taken_at=None)
    return draft


def take_into_plan(*, photo: PlanPhoto, at: datetime, asked: int | None = None) -> PlanVersion:
    """Write what the photo shows into the draft of its piece's plan. `asked` as above."""
    with transaction.atomic():
        kept = locked_photo(photo)
        _refuse_other(kept, asked)
        piece = kept.piece
        newest = newest_version(piece)
        drawn = drawn_from_json(newest.inputs) if newest else untouched(piece.assignment, ())
        match kept.shows:
            case PlanPhoto.Shows.FRONT:
                drawn = with_front(drawn, _measured(kept.lines))
            case PlanPhoto.Shows.SIDE:
                drawn = with_side(drawn, _measured(kept.lines), piece.studio)
            case _:
                drawn = with_base(drawn, _outline(kept))
        draft = save_draft(piece=piece, drawn=drawn, at=at)
        kept.taken_at = at
        kept.save(update_fields=["taken_at"])
    return draft


def _refuse_other(photo: PlanPhoto, asked: int | None) -> None:
    if asked is not None and asked != photo.asked:
        raise Conflict(str(_ANEW))


def _measured(lines: Sequence[Row]) -> list[Row]:
    """Raises `Refused` where a height line has no half-widths yet."""
    if len(lines) < _LEAST_LINES:
        raise Refused(_("Nothing is traced in this photo yet."))
    if any(value is None for line in lines for value in line):
        raise Refused(_("Place every height line first; some have no half-width yet."))
    return list(lines)


def _outline(photo: PlanPhoto) -> list[list[float]]:
    points: list[list[float]] = (photo.answer or {}).get("points", [])
    if not points:
        raise Refused(_("Nothing is traced in this photo yet."))
    return points
