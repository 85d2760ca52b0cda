"""Plans over the API: draft, send, decide."""

from collections.abc import Callable
from datetime import datetime
from typing import Any
from uuid import UUID

from django.shortcuts import get_object_or_404
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.generics import GenericAPIView
from rest_framework.mixins import ListModelMixin
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from planning.models import PlanState, PlanVersion
from planning.services.plans import approve, save_draft, send_back, send_plan, take_back
from studio.people.access import person_of
from studio.people.api_access import Teaching
from studio.people.models import User

from .piece_serializers import DecisionSerializer, DraftSerializer, PlanSerializer
from .pieces import own_piece, seen_piece


class Plans(ListModelMixin, GenericAPIView[Any]):
    serializer_class = PlanSerializer
    queryset = PlanVersion.objects.none()

    @extend_schema(operation_id="plans_waiting_list")
    def get(self, request: Request) -> Response:
        """Sent plans that wait for a decision, the longest first."""
        waiting = PlanVersion.objects.visible_to(person_of(request)).waiting()
        page = self.paginate_queryset(waiting.order_by("sent_at", "pk"))
        return self.get_paginated_response(self.get_serializer(page, many=True).data)


class PiecePlans(ListModelMixin, GenericAPIView[Any]):
    serializer_class = PlanSerializer
    queryset = PlanVersion.objects.none()

    @extend_schema(operation_id="piece_plans_list")
    def get(self, request: Request, pk: UUID) -> Response:
        """All versions of a piece's plan; drafts only for its student."""
        piece = seen_piece(request, pk)
        rows = PlanVersion.objects.visible_to(person_of(request)).filter(piece=piece)
        page = self.paginate_queryset(rows.order_by("number"))
        return self.get_paginated_response(self.get_serializer(page, many=True).data)


class PlanDraft(APIView):
    @extend_schema(responses=PlanSerializer)
    def get(self, request: Request, pk: UUID) -> Response:
        """The draft; 404 where there is none."""
        drafts = PlanVersion.objects.filter(piece=own_piece(request, pk), state=PlanState.DRAFT)
        return _answer(request, get_object_or_404(drafts))

    @extend_schema(request=DraftSerializer, responses=PlanSerializer)
    def put(self, request: Request, pk: UUID) -> Response:
        """Keep what has been measured so far."""
        piece = own_piece(request, pk)
        sent = DraftSerializer(data=request.data)
        sent.is_valid(raise_exception=True)
        draft = save_draft(piece=piece, drawn=sent.drawn(), at=timezone.now())
        return _answer(request, draft)


class PlanSend(APIView):
    @extend_schema(request=None, responses=PlanSerializer)
    def post(self, request: Request, pk: UUID) -> Response:
        """Compute the draft and hand it to the teacher."""
        piece = own_piece(request, pk)
        plan = send_plan(piece=piece, by=person_of(request), at=timezone.now())
        return _answer(request, plan)


class PlanTakeBack(APIView):
    @extend_schema(request=None, responses=PlanSerializer)
    def post(self, request: Request, pk: UUID) -> Response:
        """The student takes a sent plan back before it is decided."""
        person = person_of(request)
        plan = take_back(plan=_seen_plan(request, pk), by=person, at=timezone.now())
        return _answer(request, plan)


class _Decision(APIView):
    permission_classes = [Teaching]
    decide: Callable[..., PlanVersion]

    def decided(self, request: Request, pk: UUID) -> Response:
        sent = DecisionSerializer(data=request.data)
        sent.is_valid(raise_exception=True)
        by: User = person_of(request)
        at: datetime = timezone.now()
        note = sent.validated_data["note"]
        plan = type(self).decide(plan=_seen_plan(request, pk), by=by, at=at, note=note)
        return _answer(request, plan)


class PlanApprove(_Decision):
    decide = staticmethod(approve)

    @extend_schema(request=DecisionSerializer, responses=PlanSerializer)
    def post(self, request: Request, pk: UUID) -> Response:
        """The plan holds from now on."""
        return self.decided(request, pk)


class PlanSendBack(_Decision):
    decide = staticmethod(send_back)

    @extend_schema(request=DecisionSerializer, responses=PlanSerializer)
    def post(self, request: Request, pk: UUID) -> Response:
        """Back to the student; the note says what to change."""
        return self.decided(request, pk)


def _answer(request: Request, plan: PlanVersion) -> Response:
    return Response(PlanSerializer(plan, context={"request": request}).data)


def _seen_plan(request: Request, pk: UUID) -> PlanVersion:
    seen = PlanVersion.objects.visible_to(person_of(request))
    return get_object_or_404(seen.select_related("piece__studio"), pk=pk)
