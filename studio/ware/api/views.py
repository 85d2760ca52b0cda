"""Pots over the API: the same services and permissions as the pages."""

from collections.abc import Callable, Sequence
from typing import Any
from uuid import UUID

from django.db.models import QuerySet
from django.http import Http404
from django.shortcuts import get_object_or_404
from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import status
from rest_framework.generics import GenericAPIView
from rest_framework.mixins import ListModelMixin
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.serializers import BaseSerializer
from rest_framework.views import APIView

from planning.models import Piece
from studio.people.access import person_of
from studio.people.api.views import ONCE
from studio.people.api_access import Staff
from studio.people.idempotency import once
from studio.people.models import User
from studio.ware.models import Place, Pot, Stage
from studio.ware.services import (
    begin_pot,
    check_dryness,
    come_to_stage,
    cover,
    put_in_place,
    say_built,
    say_not_built,
    uncover,
)

from .serializers import (
    BuiltSerializer,
    DrynessSerializer,
    NewCoverSerializer,
    NewDrynessSerializer,
    NewPlaceSerializer,
    NewStageSerializer,
    PotSerializer,
    StageEntrySerializer,
)


def seen_pots(person: User) -> QuerySet[Pot]:
    return Pot.objects.visible_to(person).select_related(
        "studio", "place", "plan", "piece__student", "piece__assignment"
    )


def seen_pot(request: Request, pk: UUID) -> Pot:
    return get_object_or_404(seen_pots(person_of(request)), pk=pk)


def valid(kind: type[BaseSerializer[Any]], request: Request) -> dict[str, Any]:
    sent = kind(data=request.data)
    sent.is_valid(raise_exception=True)
    return dict(sent.validated_data)


class Pots(ListModelMixin, GenericAPIView[Any]):
    serializer_class = PotSerializer
    queryset = Pot.objects.none()

    @extend_schema(
        operation_id="pots_list",
        parameters=[OpenApiParameter("stage", str, enum=Stage.values)],
    )
    def get(self, request: Request) -> Response:
        """The pots that you see, lost and collected ones too; `stage` leaves those of one."""
        rows = seen_pots(person_of(request)).order_by("begun_at", "pk")
        if stage := request.query_params.get("stage", ""):
            rows = rows.filter(stage=stage) if stage in Stage.values else rows.none()
        page = self.paginate_queryset(rows)
        return self.get_paginated_response(self.get_serializer(page, many=True).data)


class OnePot(APIView):
    @extend_schema(responses=PotSerializer)
    def get(self, request: Request, pk: UUID) -> Response:
        return Response(PotSerializer(seen_pot(request, pk)).data)


class PotStages(ListModelMixin, GenericAPIView[Any]):
    serializer_class = StageEntrySerializer
    queryset = Pot.objects.none()

    @extend_schema(operation_id="pot_stages_list")
    def get(self, request: Request, pk: UUID) -> Response:
        """Every step of the pot, in order."""
        rows = seen_pot(request, pk).stage_entries.select_related("by").order_by("at", "pk")
        page = self.paginate_queryset(rows)
        return self.get_paginated_response(self.get_serializer(page, many=True).data)


class PiecePots(APIView):
    permission_classes = [Staff]

    @extend_schema(request=None, responses={201: PotSerializer}, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """Begin the pot of a piece whose plan is approved; another one after a loss."""
        person = person_of(request)
        pieces = Piece.objects.visible_to(person).select_related("studio")
        piece = get_object_or_404(pieces, pk=pk)

        def act() -> Response:
            pot = begin_pot(piece=piece, by=person, at=timezone.now())
            return Response(PotSerializer(pot).data, status=status.HTTP_201_CREATED)

        return once(request, act)


class PotBuilt(APIView):
    @extend_schema(request=BuiltSerializer, responses=PotSerializer, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """Say that building has ended, or that it goes on after all."""
        pot, by = seen_pot(request, pk), person_of(request)
        built = valid(BuiltSerializer, request)["built"]

        def act() -> Response:
            if built:
                kept = say_built(pot=pot, by=by, at=timezone.now())
            else:
                kept = say_not_built(pot=pot, by=by)
            return Response(PotSerializer(kept).data)

        return once(request, act)


class _Many(APIView):
    """One write for many pots: all of them or none."""

    def many(
        self, request: Request, said: dict[str, Any], act: Callable[[Sequence[Pot]], object]
    ) -> Response:
        person = person_of(request)
        wanted = set(said["pots"])
        pots = list(seen_pots(person).filter(pk__in=wanted))
        if len(pots) < len(wanted):
            raise Http404

        def answer() -> Response:
            act(pots)
            rows = seen_pots(person).filter(pk__in=wanted).order_by("begun_at", "pk")
            return Response(PotSerializer(rows, many=True).data)

        return once(request, answer)


class ManyStages(_Many):
    @extend_schema(
        request=NewStageSerializer, responses=PotSerializer(many=True), parameters=[ONCE]
    )
    def post(self, request: Request) -> Response:
        """They come to a stage; one that is there already stays as it is."""
        said = valid(NewStageSerializer, request)
        return self.many(
            request,
            said,
            lambda pots: come_to_stage(
                pots=pots,
                stage=said["stage"],
                reason=said["reason"],
                by=person_of(request),
                at=timezone.now(),
            ),
        )


class ManyPlaces(_Many):
    @extend_schema(
        request=NewPlaceSerializer, responses=PotSerializer(many=True), parameters=[ONCE]
    )
    def post(self, request: Request) -> Response:
        """They stand there from now on."""
        said, by = valid(NewPlaceSerializer, request), person_of(request)
        place = get_object_or_404(Place.objects.visible_to(by), pk=said["place"])
        return self.many(
            request,
            said,
            lambda pots: put_in_place(pots=pots, place=place, by=by, at=timezone.now()),
        )


class ManyCovers(_Many):
    @extend_schema(
        request=NewCoverSerializer, responses=PotSerializer(many=True), parameters=[ONCE]
    )
    def post(self, request: Request) -> Response:
        """Wrapped, or open to the air."""
        said = valid(NewCoverSerializer, request)
        act = cover if said["covered"] else uncover
        return self.many(
            request,
            said,
            lambda pots: act(pots=pots, by=person_of(request), at=timezone.now()),
        )


class ManyDrynessChecks(_Many):
    permission_classes = [Staff]

    @extend_schema(
        request=NewDrynessSerializer, responses=PotSerializer(many=True), parameters=[ONCE]
    )
    def post(self, request: Request) -> Response:
        """Felt by hand; air dry is candled all the same."""
        said = valid(NewDrynessSerializer, request)
        return self.many(
            request,
            said,
            lambda pots: check_dryness(
                pots=pots,
                air_dry=said["air_dry"],
                note=said["note"],
                by=person_of(request),
                at=timezone.now(),
            ),
        )


class PotDrynessChecks(ListModelMixin, GenericAPIView[Any]):
    serializer_class = DrynessSerializer
    queryset = Pot.objects.none()

    @extend_schema(operation_id="pot_dryness_checks_list")
    def get(self, request: Request, pk: UUID) -> Response:
        page = self.paginate_queryset(seen_pot(request, pk).dryness_checks.order_by("at", "pk"))
        return self.get_paginated_response(self.get_serializer(page, many=True).data)
