"""Firing slots: the same rows, services and permissions as the pages."""

from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.models import QuerySet
from django.shortcuts import get_object_or_404
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers, status
from rest_framework.generics import GenericAPIView
from rest_framework.mixins import ListModelMixin
from rest_framework.request import Request
from rest_framework.response import Response

from studio.kilns.models import Program, Slot
from studio.kilns.services.slots import (
    MOST_WEEKS,
    add_slot,
    add_weekly_slots,
    bring_back_slot,
    cancel_slot,
    move_slot,
)
from studio.people.api.views import ONCE, caller
from studio.people.api_access import Staff
from studio.people.idempotency import once
from studio.people.models import User
from studio.room.models import Kiln

from .fields import OfTheStudio, TimeOfDay


class SlotSerializer(serializers.ModelSerializer[Slot]):
    class Meta:
        model = Slot
        fields = (
            "id",
            "kiln",
            "program",
            "starts_at",
            "ends_at",
            "unload_at",
            "confirms_shut_off",
            "note",
            "cancelled_at",
            "lit_at",
            "off_at",
            "unloaded_at",
        )


class NewSlotSerializer(serializers.Serializer[Slot]):
    """`on` and `start` are on the studio's clock. Without a person, the kiln's own confirms."""

    kiln = OfTheStudio(Kiln.objects.all())
    program = OfTheStudio(Program.objects.all())
    on = serializers.DateField()
    start = TimeOfDay()
    confirms_shut_off = OfTheStudio(User.objects.staff(), required=False)
    note = serializers.CharField(max_length=400, allow_blank=True, default="")

    def slot(self) -> dict[str, Any]:
        """What the services take."""
        values = dict(self.validated_data)
        own = values["kiln"].confirms_shut_off
        return values | {"confirms": values.pop("confirms_shut_off", own)}


class WeeklySlotsSerializer(NewSlotSerializer):
    weeks = serializers.IntegerField(min_value=1, max_value=MOST_WEEKS)


class WeekLeftOutSerializer(serializers.Serializer[Any]):
    on = serializers.DateField()
    reason = serializers.CharField()


class WeeklyAnswerSerializer(serializers.Serializer[Any]):
    made = SlotSerializer(many=True)
    left_out = WeekLeftOutSerializer(many=True)


class SlotChangeSerializer(serializers.Serializer[Slot]):
    """Whatever is left out stays as it is."""

    kiln = OfTheStudio(Kiln.objects.all(), required=False)
    program = OfTheStudio(Program.objects.all(), required=False)
    on = serializers.DateField(required=False)
    start = TimeOfDay(required=False)
    confirms_shut_off = OfTheStudio(User.objects.staff(), required=False)
    note = serializers.CharField(max_length=400, allow_blank=True, required=False)
    cancelled = serializers.BooleanField(required=False)

    def changes(self) -> dict[str, Any]:
        """What `move_slot` takes of what was sent."""
        names = {"confirms_shut_off": "confirms"}
        sent = self.validated_data.items()
        return {names.get(name, name): value for name, value in sent if name != "cancelled"}


class _Slots(GenericAPIView[Slot]):
    permission_classes = [Staff]
    serializer_class = SlotSerializer

    def get_queryset(self) -> QuerySet[Slot]:
        seen = Slot.objects.visible_to(caller(self.request))
        rows = seen.select_related("studio", "kiln", "program", "confirms_shut_off")
        return rows.order_by("starts_at", "pk")


class Slots(ListModelMixin, _Slots):
    @extend_schema(operation_id="firing_slots_list")
    def get(self, request: Request) -> Response:
        """All slots by their start, those that are over or cancelled too. Times are in UTC."""
        page = self.paginate_queryset(self.get_queryset())
        return self.get_paginated_response(self.get_serializer(page, many=True).data)

    @extend_schema(request=NewSlotSerializer, responses={201: SlotSerializer}, parameters=[ONCE])
    def post(self, request: Request) -> Response:
        """One firing, if nothing stands in its way."""
        typed = NewSlotSerializer(data=request.data, context=self.get_serializer_context())
        typed.is_valid(raise_exception=True)

        def act() -> Response:
            slot = add_slot(by=caller(request), at=timezone.now(), **typed.slot())
            return Response(SlotSerializer(slot).data, status=status.HTTP_201_CREATED)

        return once(request, act)


class WeeklySlots(_Slots):
    @extend_schema(
        request=WeeklySlotsSerializer,
        responses={201: WeeklyAnswerSerializer},
        parameters=[ONCE],
        operation_id="firing_slots_weekly_create",
    )
    def post(self, request: Request) -> Response:
        """The same firing every week; dates on which it can't be are left out and said."""
        typed = WeeklySlotsSerializer(data=request.data, context=self.get_serializer_context())
        typed.is_valid(raise_exception=True)

        def act() -> Response:
            done = add_weekly_slots(by=caller(request), at=timezone.now(), **typed.slot())
            told = {"made": done.made, "left_out": [each._asdict() for each in done.left_out]}
            answer = WeeklyAnswerSerializer(told).data
            return Response(answer, status=status.HTTP_201_CREATED)

        return once(request, act)


class OneSlot(_Slots):
    def get(self, request: Request, pk: UUID) -> Response:
        slot = get_object_or_404(self.get_queryset(), pk=pk)
        return Response(SlotSerializer(slot).data)

    @extend_schema(request=SlotChangeSerializer, responses=SlotSerializer, parameters=[ONCE])
    def patch(self, request: Request, pk: UUID) -> Response:
        """Move it, cancel it or bring it back. Cancelled, its pots wait for another firing."""
        person, at = caller(request), timezone.now()
        kept = get_object_or_404(self.get_queryset(), pk=pk)
        typed = SlotChangeSerializer(data=request.data, context=self.get_serializer_context())
        typed.is_valid(raise_exception=True)
        cancelled, changes = typed.validated_data.get("cancelled"), typed.changes()

        def act() -> Response:
            slot = kept
            with transaction.atomic():
                if cancelled is False:
                    slot = bring_back_slot(slot=slot, by=person, at=at)
                if changes:
                    slot = move_slot(slot=slot, by=person, at=at, **changes)
                if cancelled is True:
                    slot = cancel_slot(slot=slot, by=person, at=at)
            return Response(SlotSerializer(slot).data)

        return once(request, act)
