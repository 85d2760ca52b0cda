"""Markings and results over the API. Students read their own released results, nothing else."""

from typing import Any
from uuid import UUID

from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext as _
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import status
from rest_framework.generics import GenericAPIView
from rest_framework.mixins import ListModelMixin
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from assessments.models import Marking, Result
from assessments.selectors.marks import MarkingSeen, PieceMarks, loaded, marks_of
from assessments.services.marking import save_marking
from assessments.services.releasing import release, release_again
from planning.models import Assignment, Piece
from studio.errors import Refused
from studio.people.access import person_of
from studio.people.api.views import ONCE
from studio.people.api_access import Teaching
from studio.people.idempotency import once

from .mark_serializers import (
    MarkingSerializer,
    ReleaseAgainSerializer,
    ReleasedResultSerializer,
    ReleaseSerializer,
    SentMarkingSerializer,
)
from .reading import ReadsMarks

IN_ASSIGNMENT = OpenApiParameter("assignment", OpenApiTypes.UUID, description="Only of this one.")


class PieceMarkings(ListModelMixin, GenericAPIView[Any]):
    permission_classes = [Teaching]
    serializer_class = MarkingSerializer
    queryset = Marking.objects.none()

    @extend_schema(operation_id="piece_markings_list")
    def get(self, request: Request, pk: UUID) -> Response:
        """What was marked, by everybody who marks the piece."""
        piece = _piece(request, pk)
        rows = Marking.objects.visible_to(person_of(request)).filter(piece=piece)
        page: Any = self.paginate_queryset(rows.order_by("changed_at", "pk"))
        marks = marks_of([piece])[piece.pk]
        seen = {each.pk: each for each in marks.markings}
        return self.get_paginated_response([_shown(marks, seen[row.pk]) for row in page])


class OwnMarking(APIView):
    permission_classes = [Teaching]

    @extend_schema(request=SentMarkingSerializer, responses=MarkingSerializer, parameters=[ONCE])
    def put(self, request: Request, pk: UUID) -> Response:
        """Keep your own marking of the piece, all of it at once."""
        by = person_of(request)
        piece = _piece(request, pk)
        sent = SentMarkingSerializer(data=request.data)
        sent.is_valid(raise_exception=True)

        def act() -> Response:
            save_marking(piece=piece, marker=by, by=by, at=timezone.now(), **sent.values())
            fresh = _piece(request, pk)
            marks = marks_of([fresh])[fresh.pk]
            own = marks.own(by)
            return Response(_shown(marks, own) if own else None)

        return once(request, act)


class Results(ListModelMixin, GenericAPIView[Any]):
    permission_classes = [ReadsMarks]
    serializer_class = ReleasedResultSerializer
    queryset = Result.objects.none()

    @extend_schema(operation_id="results_list", parameters=[IN_ASSIGNMENT])
    def get(self, request: Request) -> Response:
        """Results that hold: a student's own, those of a teacher's classes."""
        rows = Result.objects.visible_to(person_of(request)).current()
        if asked := request.query_params.get("assignment"):
            try:
                rows = rows.filter(piece__assignment=UUID(asked))
            except ValueError:
                raise Refused(
                    _("This is not an id of an assignment."), field="assignment"
                ) from None
        page = self.paginate_queryset(rows.order_by("released_at", "pk"))
        return self.get_paginated_response(self.get_serializer(page, many=True).data)


class PieceResults(ListModelMixin, GenericAPIView[Any]):
    permission_classes = [ReadsMarks]
    serializer_class = ReleasedResultSerializer
    queryset = Result.objects.none()

    @extend_schema(operation_id="piece_results_list")
    def get(self, request: Request, pk: UUID) -> Response:
        """All results of a piece, the newest first; its student reads the one that holds."""
        person = person_of(request)
        piece = get_object_or_404(Piece.objects.visible_to(person), pk=pk)
        rows = Result.objects.visible_to(person).filter(piece=piece)
        if person.is_student:
            rows = rows.current()
        page = self.paginate_queryset(rows.order_by("-number"))
        return self.get_paginated_response(self.get_serializer(page, many=True).data)

    @extend_schema(
        request=ReleaseAgainSerializer, responses={201: ReleasedResultSerializer}, parameters=[ONCE]
    )
    def post(self, request: Request, pk: UUID) -> Response:
        """Release what is marked now as the next result, with a reason."""
        piece = _piece(request, pk)
        sent = ReleaseAgainSerializer(data=request.data)
        sent.is_valid(raise_exception=True)
        values = sent.validated_data

        def act() -> Response:
            made = release_again(
                piece=piece,
                by=person_of(request),
                at=timezone.now(),
                reason=values["reason"],
                number=values["number"],
                with_open=values["with_open"],
                chosen=values["marking"],
            )
            return Response(ReleasedResultSerializer(made).data, status=status.HTTP_201_CREATED)

        return once(request, act)


class AssignmentRelease(APIView):
    permission_classes = [Teaching]

    @extend_schema(
        request=ReleaseSerializer,
        responses={201: ReleasedResultSerializer(many=True)},
        parameters=[ONCE],
    )
    def post(self, request: Request, pk: UUID) -> Response:
        """Release marks of an assignment's pieces: students read them from then on."""
        by = person_of(request)
        assignment = get_object_or_404(Assignment.objects.taught_by(by), pk=pk)
        sent = ReleaseSerializer(data=request.data)
        sent.is_valid(raise_exception=True)
        values = sent.validated_data
        pieces = list(Piece.objects.filter(assignment=assignment, pk__in=values["pieces"]))
        if len(pieces) < len(set(values["pieces"])):
            raise Refused(_("Name pieces of this assignment only."), field="pieces")

        def act() -> Response:
            made = release(
                pieces=pieces,
                by=by,
                at=timezone.now(),
                with_open=values["with_open"],
                chosen={each["piece"]: each["marking"] for each in values.get("chosen", ())},
            )
            rows = ReleasedResultSerializer(made, many=True).data
            return Response(rows, status=status.HTTP_201_CREATED)

        return once(request, act)


def _piece(request: Request, pk: UUID) -> Piece:
    return get_object_or_404(loaded(Piece.objects.taught_by(person_of(request))), pk=pk)


def _shown(marks: PieceMarks, marking: MarkingSeen) -> Any:
    found = marks.score_of(marking)
    row = {
        "id": marking.pk,
        "marker": marking.marker,
        "version": marking.version,
        "edition": marking.edition,
        "criteria": [
            {"criterion": pk, "level": given.level.pk if given.level else None, "note": given.note}
            for pk, given in marking.given.items()
        ],
        "comment": marking.comment,
        "total": found.total,
        "most": found.most,
        "open": found.open,
        "changed_at": marking.changed_at,
    }
    return MarkingSerializer(row).data
