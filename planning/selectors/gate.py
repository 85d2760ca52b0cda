"""How much a student has explored, and what the brief still asks."""

from collections.abc import Iterable
from uuid import UUID

from django.db.models import Count, Q, Value

from planning.exploration.gate import Counts, Missing, missing_before_choice
from planning.models import Adjustment, Piece, Refinement, Thumbnail
from studio.uploads.models import StoredImage


def counts_done(pieces: Iterable[UUID]) -> dict[UUID, Counts]:
    """What stands of each piece and could be read; one query however many pieces."""
    ids = list(pieces)
    ready = Q(piece__in=ids, image__state=StoredImage.State.READY)
    drawings = [
        model.objects.standing()
        .filter(ready)
        .order_by()
        .values("piece")
        .annotate(kind=Value(model.__name__), n=Count("pk"), forms=forms)
        .values_list("kind", "piece", "n", "forms")
        for model, forms in (
            (Thumbnail, Count("source_form", distinct=True)),
            (Refinement, Value(0)),
        )
    ]
    counted = {
        (kind, pk): (n, forms) for kind, pk, n, forms in drawings[0].union(drawings[1], all=True)
    }
    none = (0, 0)
    return {
        pk: Counts(
            thumbnails=counted.get(("Thumbnail", pk), none)[0],
            source_forms=counted.get(("Thumbnail", pk), none)[1],
            refinements=counted.get(("Refinement", pk), none)[0],
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
    """What the choice of this piece waits for."""
    return still_missing(piece, counts_done([piece.pk])[piece.pk], counts_asked([piece])[piece.pk])


def still_missing(piece: Piece, done: Counts, asked: Counts) -> Missing:
    """The same from counts at hand; nothing once a teacher let the piece through."""
    if hasattr(piece, "let_through"):
        return Missing(0, 0)
    return missing_before_choice(done, asked)


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
