"""A brief in a class over the API: its terms, its dates, its pieces."""

from typing import Any
from uuid import UUID

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import status
from rest_framework.generics import GenericAPIView
from rest_framework.mixins import ListModelMixin
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from planning.models import Assignment
from planning.selectors.assignments import milestones_of
from planning.services.assignments import count_ideas, set_dates
from planning.services.pieces import start_missing_pieces
from studio.people.api.views import ONCE, caller
from studio.people.api_access import Teaching
from studio.people.idempotency import once
from studio.people.models import User

from .brief_serializers import AssignmentSerializer, DatesSerializer, IdeasCountedSerializer
from .piece_serializers import PieceSerializer


def shown_assignments(person: User) -> QuerySet[Assignment]:
    """Those that the person sees, with what the serializer reads."""
    seen = Assignment.objects.visible_to(person).prefetch_related("milestones")
    return seen.select_related("clay_body")


class Assignments(ListModelMixin, GenericAPIView[Assignment]):
    serializer_class = AssignmentSerializer

    def get_queryset(self) -> QuerySet[Assignment]:
        return shown_assignments(caller(self.request)).order_by("-given_on", "pk")

    @extend_schema(operation_id="assignments_list")
    def get(self, request: Request) -> Response:
        """What your classes work on, newest first."""
        page = self.paginate_queryset(self.get_queryset())
        return self.get_paginated_response(self.get_serializer(page, many=True).data)


class OneAssignment(GenericAPIView[Assignment]):
    serializer_class = AssignmentSerializer

    def get(self, request: Request, pk: UUID) -> Response:
        found = get_object_or_404(shown_assignments(caller(request)), pk=pk)
        return Response(self.get_serializer(found).data)


class AssignmentDates(APIView):
    permission_classes = [Teaching]

    @extend_schema(responses=DatesSerializer)
    def get(self, request: Request, pk: UUID) -> Response:
        """The dates of the class."""
        return Response(DatesSerializer(_dates(taught_assignment(request, pk))).data)

    @extend_schema(request=DatesSerializer, responses=DatesSerializer, parameters=[ONCE])
    def put(self, request: Request, pk: UUID) -> Response:
        """Move them; they stay in this order. Students' own dates don't move along."""
        person, assignment = caller(request), taught_assignment(request, pk)
        typed = DatesSerializer(data=request.data)
        typed.is_valid(raise_exception=True)
        milestones = dict(typed.validated_data)
        ends = {name: milestones.pop(name) for name in ("given_on", "due_on")}

        def act() -> Response:
            changed = set_dates(
                assignment=assignment,
                by=person,
                milestones=milestones,
                at=timezone.now(),
                **ends,
            )
            return Response(DatesSerializer(_dates(changed)).data)

        return once(request, act)


class AssignmentIdeas(APIView):
    permission_classes = [Teaching]

    @extend_schema(request=IdeasCountedSerializer, responses=IdeasCountedSerializer)
    def put(self, request: Request, pk: UUID) -> Response:
        """Whether the class's ideas are counted."""
        assignment = taught_assignment(request, pk)
        typed = IdeasCountedSerializer(data=request.data)
        typed.is_valid(raise_exception=True)
        kept = count_ideas(
            assignment=assignment,
            counted=typed.validated_data["ideas_counted"],
            by=caller(request),
        )
        return Response(IdeasCountedSerializer(kept).data)


class AssignmentPieces(GenericAPIView[Any]):
    permission_classes = [Teaching]
    serializer_class = PieceSerializer
    pagination_class = None

    @extend_schema(request=None, responses={201: PieceSerializer(many=True)}, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """A piece and its code for everybody in the class who has none; those are the answer."""
        person, assignment = caller(request), taught_assignment(request, pk)

        def act() -> Response:
            made = start_missing_pieces(assignment=assignment, by=person, at=timezone.now())
            shown = self.get_serializer(made, many=True).data
            return Response(shown, status=status.HTTP_201_CREATED)

        return once(request, act)


def taught_assignment(request: Request, pk: UUID) -> Assignment:
    taught = Assignment.objects.taught_by(caller(request))
    return get_object_or_404(taught.select_related("section__studio"), pk=pk)


def _dates(assignment: Assignment) -> dict[str, Any]:
    dates = {row.kind: row.on for row in milestones_of(assignment)}
    return {"given_on": assignment.given_on, "due_on": assignment.due_on, **dates}
