"""A firing over the API: lit, logged, shut off, unloaded. Nothing here switches a kiln."""

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

from studio.kilns.models import LogEntry, Slot, WitnessReading
from studio.kilns.services.firing import (
    light,
    log_entry,
    shut_off,
    undo_light,
    undo_shut_off,
    unload,
)
from studio.kilns.services.witness import read_witness, take_out_witness
from studio.people.api.views import ONCE, caller
from studio.people.api_access import Staff
from studio.people.idempotency import once

from .load_serializers import (
    FiringSerializer,
    LightSerializer,
    LogEntrySerializer,
    ShutOffSerializer,
    UnloadSerializer,
    WitnessReadingSerializer,
)
from .loads import seen_slot


class _Step(GenericAPIView[Any]):
    permission_classes = [Staff]
    serializer_class = FiringSerializer
    queryset = Slot.objects.none()

    def done(self, request: Request, act: Callable[[], Slot]) -> Response:
        return once(request, lambda: Response(FiringSerializer(act()).data))


class FiringLight(_Step):
    @extend_schema(request=LightSerializer, responses=FiringSerializer, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """Somebody has lit the kiln by hand and says so."""
        slot, by = seen_slot(request, pk), caller(request)
        sent = LightSerializer(data=request.data)
        sent.is_valid(raise_exception=True)
        said = sent.validated_data
        return self.done(request, lambda: light(slot=slot, by=by, at=timezone.now(), **said))


class FiringLightUndo(_Step):
    @extend_schema(request=None, responses=FiringSerializer, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """It is not lit after all; only while nothing is logged."""
        slot, by = seen_slot(request, pk), caller(request)
        return self.done(request, lambda: undo_light(slot=slot, by=by, at=timezone.now()))


class FiringLog(ListModelMixin, GenericAPIView[Any]):
    permission_classes = [Staff]
    serializer_class = LogEntrySerializer
    queryset = LogEntry.objects.none()

    @extend_schema(operation_id="firing_log_list")
    def get(self, request: Request, pk: UUID) -> Response:
        """What was read at the kiln, in order."""
        page = self.paginate_queryset(seen_slot(request, pk).log.order_by("at", "pk"))
        return self.get_paginated_response(self.get_serializer(page, many=True).data)

    @extend_schema(responses={201: LogEntrySerializer}, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """A temperature, a remark, or both."""
        slot, by = seen_slot(request, pk), caller(request)
        sent = LogEntrySerializer(data=request.data)
        sent.is_valid(raise_exception=True)
        said = dict(sent.validated_data)
        read_at = said.pop("at", None)

        def act() -> Response:
            entry = log_entry(slot=slot, by=by, at=timezone.now(), read_at=read_at, **said)
            return Response(LogEntrySerializer(entry).data, status=status.HTTP_201_CREATED)

        return once(request, act)


class FiringWitness(ListModelMixin, GenericAPIView[Any]):
    permission_classes = [Staff]
    serializer_class = WitnessReadingSerializer
    queryset = WitnessReading.objects.none()

    @extend_schema(operation_id="firing_witness_list")
    def get(self, request: Request, pk: UUID) -> Response:
        """How the witness cones stood, by their places."""
        rows = seen_slot(request, pk).witness_readings.order_by("place", "at", "pk")
        page = self.paginate_queryset(rows)
        return self.get_paginated_response(self.get_serializer(page, many=True).data)

    @extend_schema(responses={201: WitnessReadingSerializer}, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """One cone. A figure for the same cone at the same place takes the place of the former."""
        slot, by = seen_slot(request, pk), caller(request)
        sent = WitnessReadingSerializer(data=request.data)
        sent.is_valid(raise_exception=True)

        def act() -> Response:
            reading = read_witness(slot=slot, by=by, at=timezone.now(), **sent.validated_data)
            return Response(WitnessReadingSerializer(reading).data, status=status.HTTP_201_CREATED)

        return once(request, act)


class FiringWitnessOne(GenericAPIView[Any]):
    permission_classes = [Staff]
    serializer_class = WitnessReadingSerializer
    queryset = WitnessReading.objects.none()

    @extend_schema(responses={204: None})
    def delete(self, request: Request, pk: UUID, reading: UUID) -> Response:
        """It was a mistake. One that is out already is not found."""
        slot = seen_slot(request, pk)
        kept = get_object_or_404(slot.witness_readings, pk=reading)
        take_out_witness(slot=slot, reading=kept.pk, by=caller(request))
        return Response(status=status.HTTP_204_NO_CONTENT)


class FiringOff(_Step):
    @extend_schema(request=ShutOffSerializer, responses=FiringSerializer, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """Somebody stands at the kiln and sees that it is off."""
        slot, by = seen_slot(request, pk), caller(request)
        sent = ShutOffSerializer(data=request.data)
        sent.is_valid(raise_exception=True)
        cone = sent.validated_data["witness_cone"]
        return self.done(
            request, lambda: shut_off(slot=slot, at=timezone.now(), by=by, witness_cone=cone)
        )


class FiringOffUndo(_Step):
    @extend_schema(request=None, responses=FiringSerializer, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """It isn't off after all, or nobody has seen it yet."""
        slot, by = seen_slot(request, pk), caller(request)
        return self.done(request, lambda: undo_shut_off(slot=slot, by=by, at=timezone.now()))


class FiringUnload(_Step):
    @extend_schema(request=UnloadSerializer, responses=FiringSerializer, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """The load is out; every pot goes on, has a flaw, or is broken. Never opened hot."""
        slot, by = seen_slot(request, pk), caller(request)
        sent = UnloadSerializer(data=request.data)
        sent.is_valid(raise_exception=True)
        return self.done(
            request,
            lambda: unload(
                slot=slot,
                results=sent.outcomes(),
                by=by,
                at=timezone.now(),
                read_below=sent.validated_data["read_below"],
                reached=sent.validated_data["reached"],
                witness_cone=sent.validated_data.get("witness_cone"),
            ),
        )
