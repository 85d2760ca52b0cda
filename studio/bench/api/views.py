"""A pot at the bench over the API: the same services and permissions as the pages."""

from collections.abc import Callable
from typing import Any
from uuid import UUID

from django.shortcuts import get_object_or_404
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import status
from rest_framework.generics import GenericAPIView
from rest_framework.mixins import ListModelMixin
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from planning.bench.measured import Measured
from planning.plans.wording import said_sentence
from studio.bench.models import BuildCheck, CarryOn, RowLaid
from studio.bench.selectors.finding import seen_carry_ons, seen_checks, seen_pots
from studio.bench.selectors.rows import going
from studio.bench.services import (
    agree_to_carry_on,
    ask_to_carry_on,
    check_build,
    decline_to_carry_on,
    lay_rows,
    measure_wall,
    strike_out,
    take_back_asking,
    take_back_row,
)
from studio.bench.services.rows import rows_standing
from studio.people.access import person_of
from studio.people.api.views import ONCE
from studio.people.api_access import Teaching
from studio.people.idempotency import once
from studio.ware.api.views import valid
from studio.ware.models import Pot

from .serializers import (
    AnswerSerializer,
    AskSerializer,
    CarryOnSerializer,
    KeptBuildCheckSerializer,
    LaidSerializer,
    NewBuildCheckSerializer,
    NewWallSerializer,
    PotRowsSerializer,
    StrikeSerializer,
    WallSerializer,
)


def seen_pot(request: Request, pk: UUID) -> Pot:
    return get_object_or_404(seen_pots(person_of(request)), pk=pk)


class PotRows(APIView):
    @extend_schema(responses=PotRowsSerializer)
    def get(self, request: Request, pk: UUID) -> Response:
        """The row list that holds for this pot, which of its rows stand, and by when."""
        return Response(_rows(seen_pot(request, pk)))

    @extend_schema(request=LaidSerializer, responses=PotRowsSerializer, parameters=[ONCE])
    def put(self, request: Request, pk: UUID) -> Response:
        """So many rows stand, from the first one on; one fewer takes the highest back."""
        pot, laid = seen_pot(request, pk), valid(LaidSerializer, request)["laid"]
        by, at = person_of(request), timezone.now()

        def act() -> Response:
            if laid < rows_standing(pot):
                take_back_row(pot=pot, row=laid + 1, by=by, at=at)
            elif laid:
                lay_rows(pot=pot, row=laid, by=by, at=at)
            return Response(_rows(pot))

        return once(request, act)


class PotWall(APIView):
    @extend_schema(request=NewWallSerializer, responses={201: WallSerializer}, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """The height that the rows reached, and the wall that it means."""
        pot, said = seen_pot(request, pk), valid(NewWallSerializer, request)
        by, at = person_of(request), timezone.now()

        def act() -> Response:
            measure = measure_wall(pot=pot, by=by, at=at, **said)
            return Response(WallSerializer(measure).data, status=status.HTTP_201_CREATED)

        return once(request, act)


class BuildChecks(ListModelMixin, GenericAPIView[Any]):
    serializer_class = KeptBuildCheckSerializer
    queryset = BuildCheck.objects.none()

    @extend_schema(operation_id="pot_build_checks_list")
    def get(self, request: Request, pk: UUID) -> Response:
        """All of them in order of time; those with `struck_out_at` don't count."""
        rows = BuildCheck.objects.filter(pot=seen_pot(request, pk)).select_related("by")
        page = self.paginate_queryset(rows.order_by("at", "pk"))
        return self.get_paginated_response(self.get_serializer(page, many=True).data)

    @extend_schema(
        request=NewBuildCheckSerializer,
        responses={201: KeptBuildCheckSerializer},
        parameters=[ONCE],
    )
    def post(self, request: Request, pk: UUID) -> Response:
        """Judge the pot against its plan and keep the answer."""
        pot, said = seen_pot(request, pk), valid(NewBuildCheckSerializer, request)
        measured = [Measured(**each) for each in said["measured"]]
        by, at = person_of(request), timezone.now()

        def act() -> Response:
            check = check_build(pot=pot, measured=measured, by=by, at=at)
            return Response(KeptBuildCheckSerializer(check).data, status=status.HTTP_201_CREATED)

        return once(request, act)


class BuildCheckStrike(APIView):
    @extend_schema(request=StrikeSerializer, responses=KeptBuildCheckSerializer, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """It was wrong and counts no longer; whoever made it, or staff."""
        by = person_of(request)
        check = get_object_or_404(seen_checks(by), pk=pk)
        said = valid(StrikeSerializer, request)

        def act() -> Response:
            kept = strike_out(check=check, by=by, at=timezone.now(), **said)
            return Response(KeptBuildCheckSerializer(kept).data)

        return once(request, act)


class BuildCheckCarryOn(APIView):
    @extend_schema(request=AskSerializer, responses={201: CarryOnSerializer}, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """Ask for new rows from the highest place of the newest check."""
        by = person_of(request)
        check = get_object_or_404(seen_checks(by), pk=pk)
        said = valid(AskSerializer, request)

        def act() -> Response:
            asked = ask_to_carry_on(check=check, by=by, at=timezone.now(), **said)
            return Response(CarryOnSerializer(asked).data, status=status.HTTP_201_CREATED)

        return once(request, act)


class CarryOns(ListModelMixin, GenericAPIView[Any]):
    serializer_class = CarryOnSerializer
    queryset = CarryOn.objects.none()

    @extend_schema(operation_id="pot_carry_ons_list")
    def get(self, request: Request, pk: UUID) -> Response:
        """What was asked of this pot, and the answers, in order of time."""
        rows = CarryOn.objects.filter(pot=seen_pot(request, pk))
        rows = rows.select_related("asked_by", "decided_by").order_by("asked_at", "pk")
        page = self.paginate_queryset(rows)
        return self.get_paginated_response(self.get_serializer(page, many=True).data)


class CarryOnTakeBack(APIView):
    @extend_schema(request=None, responses=CarryOnSerializer, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """The student goes on by the rows that there are."""
        return _answered(request, pk, take_back_asking)


class CarryOnAgree(APIView):
    permission_classes = [Teaching]

    @extend_schema(request=AnswerSerializer, responses=CarryOnSerializer, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """The new rows hold from now on."""
        return _answered(request, pk, agree_to_carry_on, AnswerSerializer)


class CarryOnDecline(APIView):
    permission_classes = [Teaching]

    @extend_schema(request=AnswerSerializer, responses=CarryOnSerializer, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """The rows stay; the note says what to do instead."""
        return _answered(request, pk, decline_to_carry_on, AnswerSerializer)


def _answered(
    request: Request,
    pk: UUID,
    answer: Callable[..., CarryOn],
    kind: type[AnswerSerializer] | None = None,
) -> Response:
    by = person_of(request)
    asked = get_object_or_404(seen_carry_ons(by), pk=pk)
    said = valid(kind, request) if kind is not None else {}

    def act() -> Response:
        kept = answer(asked=asked, by=by, at=timezone.now(), **said)
        return Response(CarryOnSerializer(kept).data)

    return once(request, act)


def _rows(pot: Pot) -> dict[str, Any]:
    way = going(pot)
    standing = RowLaid.objects.standing().filter(pot=pot).select_related("by")
    laid = {each.row: each for each in standing}
    rows = [
        {
            **vars(row),
            "laid_at": laid[row.row].at if row.row in laid else None,
            "laid_by": laid[row.row].by.name if row.row in laid else None,
        }
        for row in way.rows
    ]
    rests = [
        {
            "after_row": rest.after_row,
            "reason": rest.reason,
            "message": said_sentence(rest.said, pot.studio),
        }
        for rest in way.rests
    ]
    found = {
        "coil_mm": way.coil_mm,
        "laid": len(laid),
        "rows": rows,
        "rests": rests,
        "reached": [vars(each) for each in way.reached],
    }
    return dict(PotRowsSerializer(found).data)
