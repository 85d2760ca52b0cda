"""How much a student has explored, and what the brief still asks."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from uuid import UUID

from django.db.models import Count, Q, Value

from planning.exploration.gate import Counts, Missing, missing_before_choice
from planning.models import Adjustment, Ideas, Piece, Refinement, Thumbnail
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
    compared = (
        Ideas.objects.filter(piece__in=ids, version=Ideas.VERSION)
        .annotate(kind=Value("Ideas"))
        .values_list("kind", "piece", "count", "most")
    )
    counted = {
        (kind, pk): (n, more)
        for kind, pk, n, more in drawings[0].union(drawings[1], compared, all=True)
    }
    return {pk: _done(pk, counted) for pk in ids}


def _done(pk: UUID, counted: Mapping[tuple[str, UUID], tuple[int, int]]) -> Counts:
    none = (0, 0)
    drawn, forms = counted.get(("Thumbnail", pk), none)
    compared, most = counted.get(("Ideas", pk), none)
    return Counts(
        thumbnails=drawn,
        source_forms=forms,
        refinements=counted.get(("Refinement", pk), none)[0],
        # In a list a look at how many were compared does; the choice looks at which.
        ideas=most if compared == drawn else None,
    )


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
    done = exactly(counts_done([piece.pk])[piece.pk], ideas_now(piece))
    return still_missing(piece, done, counts_asked([piece])[piece.pk])


def ideas_now(piece: Piece) -> Ideas | None:
    """What the standing thumbnails come to; None until these very ones have been compared, and in
    a class whose ideas aren't counted."""
    if not piece.assignment.ideas_counted:
        return None
    found = Ideas.objects.filter(piece=piece).first()
    return if_of(found, Thumbnail.objects.readable().filter(piece=piece))


def if_of(ideas: Ideas | None, thumbnails: Iterable[Thumbnail]) -> Ideas | None:
    """The same of thumbnails at hand, those that stand and were read."""
    holds = ideas is not None and ideas.is_of({str(each.pk) for each in thumbnails})
    return ideas if holds else None


def exactly(done: Counts, ideas: Ideas | None) -> Counts:
    """With the ideas of the very drawings that stand; of nothing drawn there are none."""
    none = 0 if not done.thumbnails else None
    return replace(done, ideas=ideas.most if ideas else none)


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
        ideas=terms.asked_ideas,
    )
