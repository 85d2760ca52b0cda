"""Questions about pots. The number of queries never depends on how many."""

from collections.abc import Collection, Iterable, Sequence
from uuid import UUID

from django.db.models import Exists, OuterRef, Prefetch, Q, QuerySet

from planning.models import Piece
from studio.people.models import Section, Studio, User
from studio.uploads.models import StoredImage
from studio.ware.models import GreenwareCheck, Occasion, Pot, PotPhoto, Stage
from studio.ware.stages import DAMP

# The photo that is asked for while a pot waits for a firing.
_ASKED: dict[str, Occasion] = {
    Stage.BONE_DRY: Occasion.BEFORE_BISQUE,
    Stage.GLAZED: Occasion.BEFORE_GLAZE,
}


def pots_of(pieces: Iterable[Piece]) -> dict[UUID, Pot]:
    """By piece: the pot that stands, else the one that was lost last; none for a piece without.

    One query, with place and plan read along.
    """
    rows = Pot.objects.filter(piece__in=[piece.pk for piece in pieces])
    found: dict[UUID, Pot] = {}
    for pot in rows.select_related("piece", "place", "plan").order_by("number"):
        before = found.get(pot.piece_id)
        if before is None or before.lost:
            found[pot.piece_id] = pot
    return found


def built_pieces(pieces: Iterable[UUID]) -> set[UUID]:
    """Pieces of which a pot was built: a greenware check of it stands, or it came beyond that.

    A pot that was lost later was built all the same. One query.
    """
    checked = GreenwareCheck.objects.standing().filter(pot=OuterRef("pk"))
    beyond = Q(stage__in=[stage for stage in Stage.values if stage not in DAMP])
    rows = Pot.objects.filter(Exists(checked) | beyond, piece__in=list(pieces))
    return set(rows.order_by().values_list("piece", flat=True))


def waiting_for_check(person: User) -> QuerySet[Pot]:
    """Pots whose makers say that they are built, the longest first."""
    rows = Pot.objects.visible_to(person).standing().filter(said_built_at__isnull=False)
    return rows.select_related(
        "piece__student", "piece__assignment__section", "place", "plan"
    ).order_by("said_built_at", "pk")


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


def with_photos(pots: QuerySet[Pot]) -> QuerySet[Pot]:
    """Each pot with its photos, their images read along."""
    photos = PotPhoto.objects.select_related("image")
    return pots.prefetch_related(Prefetch("photos", queryset=photos))
