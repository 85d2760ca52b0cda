"""Questions about pots. The number of queries never depends on how many."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.db.models import Exists, OuterRef, Q, QuerySet

from planning.models import Piece
from studio.people.models import Section, Studio
from studio.uploads.models import StoredImage
from studio.ware.models import GreenwareCheck, Occasion, Pot, PotPhoto, Stage
from studio.ware.models.pot import PotQuerySet
from studio.ware.stages import DAMP

# The photo that is asked for while a pot waits for a firing.
_ASKED: dict[str, Occasion] = {
    Stage.BONE_DRY: Occasion.BEFORE_BISQUE,
    Stage.GLAZED: Occasion.BEFORE_GLAZE,
}
_WAS_BUILT = Exists(GreenwareCheck.objects.standing().filter(pot=OuterRef("pk"))) | Q(
    stage__in=[stage for stage in Stage.values if stage not in DAMP]
)


@dataclass(frozen=True)
class PotsOf:
    """The pots of some pieces: the one that counts by piece, which pieces were built, and which
    of their pots, also those that were lost.
    """

    pots: dict[UUID, Pot]
    built: set[UUID]
    built_pots: set[UUID]


def pots_of(pieces: Iterable[Piece]) -> dict[UUID, Pot]:
    """By piece: the pot that stands, else the one that was lost last; none for a piece without.

    One query, with place and plan read along.
    """
    return pots_and_built(pieces).pots


def pots_and_built(pieces: Iterable[Piece], read: PotQuerySet | None = None) -> PotsOf:
    """The same, with the pieces of `built_pieces`; one query. `read` says what else of the pots is
    read along.
    """
    rows: list[Any] = list(
        (Pot.objects.all() if read is None else read)
        .filter(piece__in=[piece.pk for piece in pieces])
        .annotate(was_built=_WAS_BUILT)
        .select_related("piece", "place", "plan")
        .order_by("number")
    )
    found: dict[UUID, Pot] = {}
    for pot in rows:
        before = found.get(pot.piece_id)
        if before is None or before.lost:
            found[pot.piece_id] = pot
    built = [pot for pot in rows if pot.was_built]
    return PotsOf(found, {pot.piece_id for pot in built}, {pot.pk for pot in built})


def built_pieces(pieces: Iterable[UUID]) -> set[UUID]:
    """Pieces of which a pot was built: a greenware check of it stands, or it came beyond that.

    A pot that was lost later was built all the same. One query.
    """
    rows = Pot.objects.filter(_WAS_BUILT, piece__in=list(pieces))
    return set(rows.order_by().values_list("piece", flat=True))


def pots_of_class(section: Section) -> QuerySet[Pot]:
    """The standing pots of those who are in the class now, by name."""
    here = Piece.objects.filter(assignment__section=section).of_enrolled().order_by()
    return (
        Pot.objects.standing()
        .filter(piece__in=here)
        .select_related("piece__student", "piece__assignment", "place", "plan")
    )


def checked_pots(pots: Collection[Pot]) -> set[UUID]:
    """Those of which a greenware check stands. One query."""
    standing = GreenwareCheck.objects.standing().filter(pot__in=[pot.pk for pot in pots])
    return set(standing.values_list("pot", flat=True))


def photos_missing(pots: Sequence[Pot]) -> dict[UUID, Occasion]:
    """By pot: the photo that is asked for before its next firing and isn't there. One query."""
    asked = {pot.pk: _ASKED[pot.stage] for pot in pots if pot.stage in _ASKED and not pot.lost}
    there = PotPhoto.objects.filter(pot__in=list(asked)).exclude(
        image__state=StoredImage.State.REFUSED
    )
    have = set(there.order_by().values_list("pot", "occasion"))
    return {pk: occasion for pk, occasion in asked.items() if (pk, str(occasion)) not in have}


def alive_pots(studio: Studio) -> QuerySet[Pot]:
    """All pots of a studio that are neither lost nor collected, with whose they are and where."""
    return (
        Pot.objects.alive()
        .filter(studio=studio)
        .select_related("piece__student", "piece__assignment__section", "place", "plan")
    )
