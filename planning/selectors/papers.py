"""Which plan of a piece is printed, and what stands on its thumbnail sheet."""

from collections.abc import Callable, Collection
from uuid import UUID

from planning.models import Piece, PlanState, PlanVersion
from planning.sheets.thumbnail_sheet import ThumbnailPaper
from studio.people.models import User

# What holds comes first, then what waits for a teacher, then what is being drawn.
_IN_ORDER = (PlanState.APPROVED, PlanState.SENT, PlanState.DRAFT)


def plans_to_print(pieces: Collection[Piece], person: User) -> dict[UUID, PlanVersion]:
    """By piece, of those that have one which the person may see. One query."""
    found: dict[UUID, PlanVersion] = {}
    seen = PlanVersion.objects.visible_to(person).filter(
        piece__in=[piece.pk for piece in pieces], state__in=_IN_ORDER
    )
    related = seen.select_related(
        "piece__studio",
        "piece__student",
        "piece__assignment__section",
        "piece__assignment__clay_body",
    )
    for plan in related.order_by("number"):
        other = found.get(plan.piece_id)
        if other is None or _rank(plan) <= _rank(other):
            found[plan.piece_id] = plan
    return found


def _rank(plan: PlanVersion) -> int:
    return _IN_ORDER.index(PlanState(plan.state))


def thumbnail_paper(piece: Piece, absolute: Callable[[str], str]) -> ThumbnailPaper:
    """Of a piece that comes with its student and its assignment's class."""
    return ThumbnailPaper(
        name=piece.student.short_name,
        code=piece.code,
        of=f"{piece.assignment.section.title} · {piece.assignment.title}",
        address=absolute(piece.get_absolute_url()),
    )
