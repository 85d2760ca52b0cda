"""Labels of a project's pots and of the studio's places. `absolute` makes an address scannable."""

from collections.abc import Callable, Collection, Sequence
from uuid import UUID

from django.utils.translation import gettext as _

from planning.models import Assignment, Piece, PlanState, PlanVersion
from studio.paper.labels import BaseLabel, ShelfLabel
from studio.people.models import User
from studio.ware.models import GlazeCheck, Place, PlaceKind, Pot, Stage
from studio.ware.selectors import pots_of

Absolute = Callable[[str], str]

_GLAZED = {Stage.GLAZED, Stage.GLAZE_FIRED, Stage.ON_DISPLAY, Stage.COLLECTED}


def pieces_to_label(assignment: Assignment) -> list[Piece]:
    """The pieces of those who are in the class now, by first name. One query."""
    rows = Piece.objects.filter(assignment=assignment).of_enrolled()
    by_name = rows.order_by("student__given_name", "student__family_name", "code")
    return list(by_name.select_related("student", "assignment__section"))


def with_approved_plan(pieces: Collection[Piece]) -> set[UUID]:
    """Those that can be built. One query."""
    approved = PlanVersion.objects.filter(
        piece__in=[piece.pk for piece in pieces], state=PlanState.APPROVED
    )
    return set(approved.order_by().values_list("piece", flat=True))


def base_labels(pieces: Sequence[Piece], absolute: Absolute) -> list[BaseLabel]:
    """One for each piece's pot, or for the pot that will be begun. Three queries."""
    pots = pots_of(pieces)
    warned = _not_for_food([pot for pot in pots.values() if not pot.lost])
    return [_base_label(piece, pots.get(piece.pk), warned, absolute) for piece in pieces]


def shelf_labels(person: User, absolute: Absolute, *, only: str = "") -> list[ShelfLabel]:
    """All places in use, or the one of this id. One query."""
    places = Place.objects.visible_to(person).in_use()
    return [
        ShelfLabel(place.name, absolute(place.get_absolute_url()), _note(place))
        for place in places
        if only in {"", str(place.pk)}
    ]


def _base_label(
    piece: Piece, pot: Pot | None, warned: Collection[UUID], absolute: Absolute
) -> BaseLabel:
    """Its page is the piece's until there is a pot to scan."""
    scanned = pot if pot is not None and not pot.lost else piece
    return BaseLabel(
        code=_code(piece, pot),
        address=absolute(scanned.get_absolute_url()),
        name=piece.student.short_name,
        section=piece.assignment.section.title,
        not_for_food=pot is not None and pot.pk in warned,
    )


def _code(piece: Piece, pot: Pot | None) -> str:
    if pot is None:
        return piece.code
    return Pot(piece=piece, number=pot.number + 1).code if pot.lost else pot.code


def _not_for_food(pots: Collection[Pot]) -> set[UUID]:
    """Glazed pots on which some glaze, or what is on them, has no recorded leach test."""
    glazed = [pot.pk for pot in pots if pot.stage in _GLAZED]
    checks = GlazeCheck.objects.filter(pot__in=glazed).prefetch_related("glazes")
    newest = {check.pot_id: list(check.glazes.all()) for check in checks}  # the last one stays
    tested = {
        pk for pk, glazes in newest.items() if glazes and all(each.leach_test for each in glazes)
    }
    return set(glazed) - tested


def _note(place: Place) -> str:
    scan = _("Scan it: what stands here?")
    if place.kind == PlaceKind.DAMP:
        return _("Keep it shut. %(scan)s") % {"scan": scan}
    return scan
