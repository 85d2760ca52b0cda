"""Marks in as few lines as a test wants, made through the services."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any
from uuid import UUID

from assessments.models import Marking, Result, RubricVersion
from assessments.selectors.marks import PieceMarks, loaded, marks_of
from assessments.selectors.rubrics import CriterionSeen, criteria_in, default_version
from assessments.services.marking import save_marking
from assessments.services.releasing import release
from assessments.services.rubrics import CriterionWritten, LevelWritten, ensure_rubric
from planning.models import Piece
from studio.people.models import Studio, User
from tests.cast import NOW

ALL_THREES = ("3", "3", "3", "3")


def the_rubric(studio: Studio) -> RubricVersion:
    """The shipped one."""
    ensure_rubric(studio=studio, at=NOW)
    version = default_version(studio)
    assert version is not None
    return version


def criteria(version: RubricVersion) -> list[CriterionSeen]:
    return criteria_in([version.pk])[version.pk]


def levels(
    version: RubricVersion, *points: str | None
) -> tuple[dict[UUID, UUID | None], list[CriterionSeen]]:
    """The levels with these points by criterion, in order; None leaves one open."""
    seen = criteria(version)
    chosen: dict[UUID, UUID | None] = {}
    for each, wanted in zip(seen, points, strict=False):
        by_points = {level.points: level.pk for level in each.levels}
        chosen[each.pk] = by_points[Decimal(wanted)] if wanted is not None else None
    return chosen, seen


def mark(
    piece: Piece,
    marker: User,
    *points: str | None,
    notes: Mapping[UUID, str] | None = None,
    comment: str = "It stands well.",
    edition: int = 0,
    **more: Any,
) -> Marking:
    """A marking with these points; threes where none are named."""
    chosen, _seen = levels(the_rubric(piece.studio), *(points or ALL_THREES))
    return save_marking(
        piece=piece,
        marker=marker,
        levels=chosen,
        notes=notes or {},
        comment=comment,
        edition=edition,
        by=marker,
        at=NOW,
        **more,
    )


def marks(piece: Piece) -> PieceMarks:
    [found] = loaded(Piece.objects.filter(pk=piece.pk))
    return marks_of([found])[piece.pk]


def released(
    piece: Piece, by: User, *points: str | None, comment: str = "It stands well."
) -> Result:
    """Marked and released."""
    mark(piece, by, *points, comment=comment)
    [result] = release(pieces=[piece], by=by, at=NOW, with_open=None in points)
    return result


def written(
    title: str = "foot", *, weight: str = "1", points: tuple[str, ...] = ("1", "2")
) -> CriterionWritten:
    """A criterion as a teacher writes it."""
    return CriterionWritten(
        title=title,
        weight=Decimal(weight),
        evidence="none",
        levels=tuple(
            LevelWritten(Decimal(each), f"What {title} shows at {each}.") for each in points
        ),
    )
