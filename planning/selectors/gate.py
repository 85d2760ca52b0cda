"""How much a student has explored, and what the brief still asks."""

from collections.abc import Iterable
from uuid import UUID

from django.db.models import Count

from planning.exploration.gate import Counts, Missing, missing_before_choice
from planning.models import Adjustment, Piece, Refinement, Thumbnail
from studio.uploads.models import StoredImage


def counts_done(pieces: Iterable[UUID]) -> dict[UUID, Counts]:
    """What stands of each piece and could be read; two queries however many pieces."""
    ids = list(pieces)
    drawn = {
        row["piece"]: row
        for row in Thumbnail.objects.standing()
        .filter(piece__in=ids, image__state=StoredImage.State.READY)
        .order_by()
        .values("piece")
        .annotate(n=Count("pk"), forms=Count("source_form", distinct=True))
    }
    refined = dict(
        Refinement.objects.standing()
        .filter(piece__in=ids, image__state=StoredImage.State.READY)
        .order_by()
        .values_list("piece")
        .annotate(n=Count("pk"))
    )
    return {
        pk: Counts(
            thumbnails=drawn[pk]["n"] if pk in drawn else 0,
            source_forms=drawn[pk]["forms"] if pk in drawn else 0,
            refinements=refined.get(pk, 0),
        )
        for pk in ids
    }


def counts_asked(pieces: Iterable[Piece]) -> dict[UUID, Counts]:
    """The assignment's counts, or the student's own; one query. Needs `assignment` loaded."""
    listed = list(pieces)
    own = {
        (row.assignment_id, row.student_id): row
        for row in Adjustment.objects.filter(
            assignment__in={piece.assignment_id for piece in listed},
            student__in={piece.student_id for piece in listed},
        )
    }
    return {
        piece.pk: _asked(piece, own.get((piece.assignment_id, piece.student_id)))
        for piece in listed
    }


def missing_for(piece: Piece) -> Missing:
    """What the choice of this piece waits for; nothing once a teacher let it through."""
    if hasattr(piece, "let_through"):
        return Missing(0, 0)
    return missing_before_choice(counts_done([piece.pk])[piece.pk], counts_asked([piece])[piece.pk])


def _asked(piece: Piece, own: Adjustment | None) -> Counts:
    terms = piece.assignment

    def least(name: str) -> int:
        mine = getattr(own, name, None)
        value: int = getattr(terms, name) if mine is None else mine
        return value

    return Counts(
        thumbnails=least("least_thumbnails"),
        source_forms=least("least_source_forms"),
        refinements=least("least_refinements"),
    )
