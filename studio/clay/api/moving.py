"""Clay moves: the services and permissions of the pages. A key makes each post count once."""

from collections.abc import Callable
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import models
from django.shortcuts import get_object_or_404
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers, status
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from planning.models import Assignment
from studio.clay import services
from studio.people.access import studio_of
from studio.people.api.views import ONCE, caller
from studio.people.api_access import Staff
from studio.people.idempotency import once
from studio.people.models import User

from .serializers import (
    ClassIssueSerializer,
    CorrectionSerializer,
    DeliverySerializer,
    EntrySerializer,
    IssueSerializer,
    LotSerializer,
    ReclaimSerializer,
    ReturnSerializer,
    WriteOffSerializer,
)

Values = dict[str, Any]


def posted(
    request: Request,
    asked: type[serializers.Serializer[Any]],
    act: Callable[[Values, User, datetime], models.Model | list[Any]],
    shown: type[serializers.ModelSerializer[Any]],
) -> Response:
    """Read the body, write once, answer 201 with what was written."""
    sent = asked(data=request.data, context={"request": request})
    sent.is_valid(raise_exception=True)

    def written() -> Response:
        made = act(sent.validated_data, caller(request), timezone.now())
        shown_as = shown(made, many=isinstance(made, list))
        return Response(shown_as.data, status=status.HTTP_201_CREATED)

    return once(request, written)


class _Moving(APIView):
    permission_classes = [Staff]


class Deliveries(_Moving):
    @extend_schema(request=DeliverySerializer, responses={201: LotSerializer}, parameters=[ONCE])
    def post(self, request: Request) -> Response:
        """Clay that came, as a new lot."""
        return posted(request, DeliverySerializer, _deliver, LotSerializer)


class Issues(_Moving):
    @extend_schema(request=IssueSerializer, responses={201: EntrySerializer}, parameters=[ONCE])
    def post(self, request: Request) -> Response:
        """Clay for one pot, a class or a table."""
        return posted(request, IssueSerializer, _issue, EntrySerializer)


class ClassIssues(_Moving):
    @extend_schema(
        request=ClassIssueSerializer,
        responses={201: EntrySerializer(many=True)},
        parameters=[ONCE],
    )
    def post(self, request: Request, pk: UUID) -> Response:
        """Clay for pieces of a class, all rows or none; a pot that isn't begun begins."""
        seen = Assignment.objects.visible_to(caller(request))
        assignment = get_object_or_404(seen.select_related("section__studio", "clay_body"), pk=pk)

        def act(values: Values, by: User, at: datetime) -> list[Any]:
            rows = [services.IssueRow(**row) for row in values["rows"]]
            return services.issue_class_list(assignment=assignment, rows=rows, by=by, at=at)

        return posted(request, ClassIssueSerializer, act, EntrySerializer)


class Returns(_Moving):
    @extend_schema(request=ReturnSerializer, responses={201: EntrySerializer}, parameters=[ONCE])
    def post(self, request: Request) -> Response:
        """Clay that came back from a pot, or the bucket of a class."""
        return posted(request, ReturnSerializer, _return, EntrySerializer)


class Reclaims(_Moving):
    @extend_schema(request=ReclaimSerializer, responses={201: LotSerializer}, parameters=[ONCE])
    def post(self, request: Request) -> Response:
        """Returned clay that was made ready, as a new lot."""
        return posted(request, ReclaimSerializer, _reclaim, LotSerializer)


class WriteOffs(_Moving):
    @extend_schema(request=WriteOffSerializer, responses={201: EntrySerializer}, parameters=[ONCE])
    def post(self, request: Request) -> Response:
        """Clay that can't be used any more."""
        return posted(
            request,
            WriteOffSerializer,
            lambda values, by, at: services.write_off(by=by, at=at, **values),
            EntrySerializer,
        )


class Corrections(_Moving):
    @extend_schema(
        request=CorrectionSerializer, responses={201: EntrySerializer}, parameters=[ONCE]
    )
    def post(self, request: Request) -> Response:
        """An entry taken back by its reverse."""
        return posted(
            request,
            CorrectionSerializer,
            lambda values, by, at: services.correct(by=by, at=at, **values),
            EntrySerializer,
        )


def _deliver(values: Values, by: User, at: datetime) -> models.Model:
    return services.receive_delivery(studio=studio_of(by), by=by, at=at, **values)


def _issue(values: Values, by: User, at: datetime) -> models.Model:
    if "pot" in values:
        return services.issue_clay(by=by, at=at, **values)
    if "section" in values:
        return services.issue_to_class(by=by, at=at, **values)
    return services.issue_to_table(by=by, at=at, **values)


def _return(values: Values, by: User, at: datetime) -> models.Model:
    if "pot" in values:
        return services.return_clay(
            pot=values["pot"], lot=values.get("lot"), grams=values["grams"], by=by, at=at
        )
    return services.return_bucket(
        section=values["section"],
        body=values["body"],
        grams=values["grams"],
        mixed=values["mixed"],
        by=by,
        at=at,
    )


def _reclaim(values: Values, by: User, at: datetime) -> models.Model:
    return services.reclaim(returned_lot=values.pop("lot"), by=by, at=at, **values)
