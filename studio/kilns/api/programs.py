"""Firing programs: the same rows, services and permissions as the pages."""

from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.models import QuerySet
from django.shortcuts import get_object_or_404
from drf_spectacular.utils import extend_schema
from rest_framework import serializers, status
from rest_framework.generics import GenericAPIView
from rest_framework.mixins import ListModelMixin
from rest_framework.request import Request
from rest_framework.response import Response

from studio.kilns.models import Program
from studio.kilns.selectors.programs import firing_of
from studio.kilns.services.programs import (
    EDITABLE,
    add_program,
    bring_back_program,
    edit_program,
    retire_program,
)
from studio.people.access import studio_of
from studio.people.api.views import ONCE, caller
from studio.people.api_access import Staff
from studio.people.idempotency import once
from studio.web.api_fields import NumberField, WholeRow


class SegmentSerializer(WholeRow, serializers.Serializer[Any]):
    """The target gives the direction; a rate is above 0."""

    rate_c_per_h = NumberField()
    target_c = NumberField()
    hold_min = NumberField(default=0.0)


class ProgramSerializer(serializers.ModelSerializer[Program]):
    """`duration_h` is without cooling; `cone` by the table of end points, null below it."""

    start_c = NumberField(default=20.0)
    segments = SegmentSerializer(many=True)
    duration_h = serializers.SerializerMethodField()
    peak_c = serializers.SerializerMethodField()
    cone = serializers.SerializerMethodField()

    class Meta:
        model = Program
        fields = ("id", *EDITABLE, "retired", "duration_h", "peak_c", "cone")
        validators: list[Any] = []

    def get_duration_h(self, program: Program) -> float:
        return firing_of(program).timing.duration_h

    def get_peak_c(self, program: Program) -> float:
        return firing_of(program).timing.peak_c

    def get_cone(self, program: Program) -> str | None:
        return firing_of(program).cone


class _Programs(GenericAPIView[Program]):
    permission_classes = [Staff]
    serializer_class = ProgramSerializer

    def get_queryset(self) -> QuerySet[Program]:
        seen = Program.objects.visible_to(caller(self.request)).select_related("studio")
        return seen.order_by("firing", "name", "pk")


class Programs(ListModelMixin, _Programs):
    @extend_schema(operation_id="firing_programs_list")
    def get(self, request: Request) -> Response:
        """The studio's programs, retired ones too. They are typed at the kiln by hand."""
        page = self.paginate_queryset(self.get_queryset())
        return self.get_paginated_response(self.get_serializer(page, many=True).data)

    @extend_schema(responses={201: ProgramSerializer}, parameters=[ONCE])
    def post(self, request: Request) -> Response:
        """One more program."""
        person = caller(request)
        typed = ProgramSerializer(data=request.data)
        typed.is_valid(raise_exception=True)

        def act() -> Response:
            made = add_program(studio=studio_of(person), by=person, program=typed.validated_data)
            return Response(ProgramSerializer(made).data, status=status.HTTP_201_CREATED)

        return once(request, act)


class OneProgram(_Programs):
    def get(self, request: Request, pk: UUID) -> Response:
        program = get_object_or_404(self.get_queryset(), pk=pk)
        return Response(ProgramSerializer(program).data)

    @extend_schema(parameters=[ONCE])
    def patch(self, request: Request, pk: UUID) -> Response:
        """Whatever is left out stays as it is. A program that a slot uses stays as it is itself:
        then the answer is the new one that takes its place, with an id of its own.
        """
        person = caller(request)
        program = get_object_or_404(self.get_queryset(), pk=pk)
        typed = ProgramSerializer(data=request.data, partial=True)
        typed.is_valid(raise_exception=True)
        values = typed.validated_data

        def act() -> Response:
            changed = program
            with transaction.atomic():
                if values.get("retired") is False:
                    changed = bring_back_program(program=changed, by=person)
                if any(name in values for name in EDITABLE):
                    changed = edit_program(program=changed, by=person, values=values)
                if values.get("retired") is True:
                    changed = retire_program(program=changed, by=person)
            return Response(ProgramSerializer(changed).data)

        return once(request, act)
