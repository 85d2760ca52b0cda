"""Loads over the API: what stands where, what waits, what goes in and out."""

from collections.abc import Sequence
from typing import Any
from uuid import UUID

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.generics import GenericAPIView
from rest_framework.mixins import ListModelMixin
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from studio.kilns.models import Placement, Slot
from studio.kilns.selectors.load_view import may_fill
from studio.kilns.selectors.loads import contents, share_filled
from studio.kilns.selectors.moving import Spot
from studio.kilns.selectors.waiting import waiting_for
from studio.kilns.services.loads import pin_pots, place_anew, place_pots, take_out, work_out
from studio.kilns.services.moving_pots import move_pot
from studio.kilns.services.nesting_pots import nest_pot, stand_by_itself
from studio.people.api.views import ONCE, caller
from studio.people.api_access import Staff
from studio.people.idempotency import once
from studio.ware.models import Pot

from .load_serializers import (
    LoadedSerializer,
    LoadSerializer,
    MovedSerializer,
    MoveSerializer,
    NestSerializer,
    PinSerializer,
    PlacementSerializer,
    PotsSerializer,
    WaitingSerializer,
)


def seen_slot(request: Request, pk: UUID) -> Slot:
    """A slot of the caller's studio, or 404."""
    seen = Slot.objects.visible_to(caller(request))
    rows = seen.select_related("studio", "kiln", "program", "confirms_shut_off")
    return get_object_or_404(rows, pk=pk)


def load_answer(slot: Slot) -> Response:
    load = contents(slot)
    told = {
        "posts_mm": load.posts_mm,
        "parts": load.parts,
        "right_post_mm": load.right_post_mm,
        "pots": len(load.placements),
        "share_filled": share_filled(slot.kiln, load),
    }
    return Response(LoadSerializer(told).data)


class _OfSlot(ListModelMixin, GenericAPIView[Any]):
    permission_classes = [Staff]
    serializer_class: Any = PlacementSerializer
    queryset = Placement.objects.none()

    def rows(self, slot: Slot) -> QuerySet[Placement]:
        placements = Placement.objects.filter(load__slot=slot)
        placements = placements.select_related("pot__piece", "host")
        return placements.order_by("layer", "at", "pk")

    def listed(self, rows: QuerySet[Placement]) -> Response:
        page = self.paginate_queryset(rows)
        return self.get_paginated_response(self.get_serializer(page, many=True).data)

    def placed(self, request: Request, slot: Slot, pots: Sequence[Pot]) -> Response:
        by = caller(request)
        worked_out = work_out(slot=slot, pots=pots, by=by)

        def act() -> Response:
            at = timezone.now()
            loaded = place_pots(slot=slot, pots=pots, by=by, at=at, worked_out=worked_out)
            return Response(LoadedSerializer(loaded).data)

        return once(request, act)

    def pots_of(self, request: Request, kind: type[PotsSerializer]) -> PotsSerializer:
        sent = kind(data=request.data, context=self.get_serializer_context())
        sent.is_valid(raise_exception=True)
        return sent


class SlotLoad(APIView):
    permission_classes = [Staff]

    @extend_schema(responses=LoadSerializer)
    def get(self, request: Request, pk: UUID) -> Response:
        """The layers of a load and how full it is."""
        return load_answer(seen_slot(request, pk))


class SlotPlacements(_OfSlot):
    @extend_schema(operation_id="slot_placements_list")
    def get(self, request: Request, pk: UUID) -> Response:
        """Who stands where, from the bottom layer up."""
        return self.listed(self.rows(seen_slot(request, pk)))

    @extend_schema(request=PotsSerializer, responses=LoadedSerializer, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """Those that fit go in; the others are named with the reason. 409 when none does."""
        slot = seen_slot(request, pk)
        sent = self.pots_of(request, PotsSerializer)
        return self.placed(request, slot, sent.validated_data["pots"])


class SlotFill(_OfSlot):
    @extend_schema(request=None, responses=LoadedSerializer, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """Fill it with what is ready: late pots first, then those that have waited longest."""
        slot = seen_slot(request, pk)
        waiting = may_fill(slot, waiting_for(slot, timezone.localdate()))
        return self.placed(request, slot, [each.pot for each in waiting])


class SlotWaiting(_OfSlot):
    serializer_class = WaitingSerializer

    @extend_schema(operation_id="slot_waiting_list", responses=WaitingSerializer(many=True))
    def get(self, request: Request, pk: UUID) -> Response:
        """Pots that may go in, the most urgent first."""
        waiting: Any = waiting_for(seen_slot(request, pk), timezone.localdate())
        page = self.paginate_queryset(waiting)
        return self.get_paginated_response(self.get_serializer(page, many=True).data)


class SlotTakeOut(_OfSlot):
    @extend_schema(request=PotsSerializer, responses=LoadSerializer, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """Out of the load again; a pot that isn't in it is passed over."""
        slot = seen_slot(request, pk)
        pots = self.pots_of(request, PotsSerializer).validated_data["pots"]

        def act() -> Response:
            take_out(slot=slot, pots=pots, by=caller(request), at=timezone.now())
            return load_answer(slot)

        return once(request, act)


class SlotPin(_OfSlot):
    @extend_schema(
        request=PinSerializer, responses=PlacementSerializer(many=True), parameters=[ONCE]
    )
    def post(self, request: Request, pk: UUID) -> Response:
        """Pinned pots stay where they are when the load is placed anew. Answers what changed."""
        slot = seen_slot(request, pk)
        sent = self.pots_of(request, PinSerializer).validated_data

        def act() -> Response:
            pots, pinned = sent["pots"], sent["pinned"]
            changed = pin_pots(slot=slot, pots=pots, pinned=pinned, by=caller(request))
            return Response(PlacementSerializer(changed, many=True).data)

        return once(request, act)


class SlotMove(_OfSlot):
    @extend_schema(request=MoveSerializer, responses=PlacementSerializer, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """One pot to another place, where it is pinned; it stays where it was if it doesn't fit."""
        slot, by = seen_slot(request, pk), caller(request)
        sent = MoveSerializer(data=request.data, context=self.get_serializer_context())
        sent.is_valid(raise_exception=True)
        said = sent.validated_data
        to, seen = Spot(**said["to"]), Spot(**said["seen"])

        def act() -> Response:
            at = timezone.now()
            row = move_pot(slot=slot, pot=said["pot"], to=to, seen=seen, by=by, at=at)
            return Response(PlacementSerializer(row).data)

        return once(request, act)


class SlotNest(_OfSlot):
    @extend_schema(request=NestSerializer, responses=PlacementSerializer, parameters=[ONCE])
    def post(self, request: Request, pk: UUID, pot: UUID) -> Response:
        """In or on another pot of a bisque load, or measured anew there; never in a glaze load."""
        slot, kept = self.held(request, pk, pot)
        sent = NestSerializer(data=request.data, context=self.get_serializer_context())
        sent.is_valid(raise_exception=True)

        def act() -> Response:
            row = nest_pot(slot=slot, pot=kept, by=caller(request), **sent.validated_data)
            return Response(PlacementSerializer(row).data)

        return once(request, act)

    @extend_schema(responses={200: PlacementSerializer})
    def delete(self, request: Request, pk: UUID, pot: UUID) -> Response:
        """By itself again, at a place of its own; 409 where there is none, and nothing changes."""
        slot, kept = self.held(request, pk, pot)
        row = stand_by_itself(slot=slot, pot=kept, by=caller(request), at=timezone.now())
        return Response(PlacementSerializer(row).data)

    def held(self, request: Request, pk: UUID, pot: UUID) -> tuple[Slot, Pot]:
        slot = seen_slot(request, pk)
        return slot, get_object_or_404(Pot, studio=slot.studio, pk=pot)


class SlotAnew(_OfSlot):
    @extend_schema(request=None, responses=MovedSerializer)
    def post(self, request: Request, pk: UUID) -> Response:
        """All but the pinned pots are placed again; nothing moves where one would be left out."""
        slot = seen_slot(request, pk)
        moved = place_anew(slot=slot, by=caller(request), at=timezone.now())
        return Response({"moved": moved})
