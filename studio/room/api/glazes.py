"""Glazes for programs: the same rows, services and permissions as the pages."""

from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.models import QuerySet
from django.shortcuts import get_object_or_404
from drf_spectacular.utils import extend_schema
from rest_framework import serializers, status
from rest_framework.generics import GenericAPIView
from rest_framework.mixins import ListModelMixin
from rest_framework.permissions import SAFE_METHODS
from rest_framework.request import Request
from rest_framework.response import Response

from studio.people.access import studio_of
from studio.people.api.views import ONCE, caller
from studio.people.api_access import SignedInWithinScope, Staff
from studio.people.idempotency import once
from studio.room.models import Glaze
from studio.room.services import (
    add_glaze,
    bring_back_glaze,
    edit_glaze,
    record_leach_test,
    retire_glaze,
)
from studio.room.services.glazes import EDITABLE


class GlazeSerializer(serializers.ModelSerializer[Glaze]):
    """The services check what belongs together, such as cones and names."""

    class Meta:
        model = Glaze
        fields = ("id", *EDITABLE, "leach_test", "retired")
        validators: list[Any] = []


class _StaffWrite(GenericAPIView[Glaze]):
    serializer_class = GlazeSerializer

    def get_permissions(self) -> list[Any]:
        reads = self.request.method in SAFE_METHODS
        return [SignedInWithinScope()] if reads else [Staff()]

    def get_queryset(self) -> QuerySet[Glaze]:
        seen = Glaze.objects.visible_to(caller(self.request)).select_related("studio")
        return seen.order_by("name", "pk")


class Glazes(ListModelMixin, _StaffWrite):
    @extend_schema(operation_id="glazes_list")
    def get(self, request: Request) -> Response:
        """The studio's glazes, retired ones too. An empty `leach_test` means: not for food."""
        page = self.paginate_queryset(self.get_queryset())
        return self.get_paginated_response(self.get_serializer(page, many=True).data)

    @extend_schema(responses={201: GlazeSerializer}, parameters=[ONCE])
    def post(self, request: Request) -> Response:
        """One more glaze; with a `leach_test` only by a head or a technician."""
        person = caller(request)
        typed = GlazeSerializer(data=request.data)
        typed.is_valid(raise_exception=True)

        values = typed.validated_data

        def act() -> Response:
            with transaction.atomic():
                glaze = add_glaze(studio=studio_of(person), by=person, glaze=values)
                if result := values.get("leach_test"):
                    glaze = record_leach_test(glaze=glaze, by=person, result=result)
            return Response(GlazeSerializer(glaze).data, status=status.HTTP_201_CREATED)

        return once(request, act)


class OneGlaze(_StaffWrite):
    def get(self, request: Request, pk: UUID) -> Response:
        glaze = get_object_or_404(self.get_queryset(), pk=pk)
        return Response(GlazeSerializer(glaze).data)

    @extend_schema(parameters=[ONCE])
    def patch(self, request: Request, pk: UUID) -> Response:
        """Whatever is left out stays as it is; `leach_test` only by a head or a technician."""
        person = caller(request)
        glaze = get_object_or_404(self.get_queryset(), pk=pk)
        typed = GlazeSerializer(data=request.data, partial=True)
        typed.is_valid(raise_exception=True)
        values = typed.validated_data

        def act() -> Response:
            with transaction.atomic():
                changed = edit_glaze(glaze=glaze, by=person, values=values)
                if "leach_test" in values:
                    changed = record_leach_test(
                        glaze=changed, by=person, result=values["leach_test"]
                    )
                if "retired" in values:
                    retire = retire_glaze if values["retired"] else bring_back_glaze
                    changed = retire(glaze=changed, by=person)
            return Response(GlazeSerializer(changed).data)

        return once(request, act)
