"""What the pages of marks begin from: things that the person may see."""

from uuid import UUID

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404

from assessments.models import Result
from assessments.selectors.marks import loaded
from planning.models import Assignment, Piece
from studio.people.models import User


def taught_assignment(person: User, pk: UUID) -> Assignment:
    taught = Assignment.objects.taught_by(person)
    return get_object_or_404(taught.select_related("section__studio", "brief"), pk=pk)


def taught_piece(person: User, pk: UUID) -> Piece:
    return get_object_or_404(loaded(Piece.objects.taught_by(person)), pk=pk)


def released_result(person: User, piece: UUID) -> Result:
    """The result of a piece that holds; a student's own, once released."""
    seen = Result.objects.visible_to(person).current()
    return get_object_or_404(with_piece(seen), piece=piece)


def with_piece(results: "QuerySet[Result]") -> "QuerySet[Result]":
    """With everything that pages and papers read beside a result."""
    return results.select_related(
        "piece__student", "piece__studio", "piece__assignment__section", "released_by"
    )
