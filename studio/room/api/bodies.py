"""Clay bodies for programs: the same rows, services and permissions as the pages."""

from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.models import QuerySet
from django.shortcuts import get_object_or_404
from drf_spectacular.utils import extend_schema
from rest_framework import status
from rest_framework.generics import GenericAPIView
from rest_framework.mixins import ListModelMixin
from rest_framework.request import Request
from rest_framework.response import Response

from studio.people.access import studio_of
from studio.people.api.views import ONCE, caller
from studio.people.api_access import Staff
from studio.people.idempotency import once
from studio.room.models import ClayBody
from studio.room.services import add_body, bring_back_body, edit_body, retire_body
from studio.room.services.bodies import EDITABLE
from studio.web.api_fields import FiguresSerializer


class ClayBodySerializer(FiguresSerializer[ClayBody]):
    """The services check what belongs together, such as names that are there already."""

    class Meta:
        model = ClayBody
        fields = ("id", *EDITABLE, "retired")
        validators: list[Any] = []


class ClayBodies(ListModelMixin, GenericAPIView[ClayBody]):
    permission_classes = [Staff]
    serializer_class = ClayBodySerializer

    def get_queryset(self) -> QuerySet[ClayBody]:
        return ClayBody.objects.visible_to(caller(self.request)).order_by("name", "pk")

    @extend_schema(operation_id="clay_bodies_list")
    def get(self, request: Request) -> Response:
        """The studio's clay bodies, retired ones too. Shrinkages are linear."""
        page = self.paginate_queryset(self.get_queryset())
        return self.get_paginated_response(self.get_serializer(page, many=True).data)

    @extend_schema(responses={201: ClayBodySerializer}, parameters=[ONCE])
    def post(self, request: Request) -> Response:
        """One more clay body."""
        person = caller(request)
        typed = ClayBodySerializer(data=request.data)
        typed.is_valid(raise_exception=True)

        def act() -> Response:
            body = add_body(studio=studio_of(person), by=person, body=typed.validated_data)
            return Response(ClayBodySerializer(body).data, status=status.HTTP_201_CREATED)

        return once(request, act)


class OneClayBody(GenericAPIView[ClayBody]):
    permission_classes = [Staff]
    serializer_class = ClayBodySerializer

    def get_queryset(self) -> QuerySet[ClayBody]:
        return ClayBody.objects.visible_to(caller(self.request)).select_related("studio")

    def get(self, request: Request, pk: UUID) -> Response:
        body = get_object_or_404(self.get_queryset(), pk=pk)
        return Response(ClayBodySerializer(body).data)

    @extend_schema(parameters=[ONCE])
    def patch(self, request: Request, pk: UUID) -> Response:
        """Whatever is left out stays as it is; `retired` takes it off the list or back on."""
        person = caller(request)
        body = get_object_or_404(self.get_queryset(), pk=pk)
        typed = ClayBodySerializer(data=request.data, partial=True)
        typed.is_valid(raise_exception=True)
        values = typed.validated_data

        def act() -> Response:
            with transaction.atomic():
                changed = edit_body(body=body, by=person, values=values)
                if "retired" in values:
                    retire = retire_body if values["retired"] else bring_back_body
                    changed = retire(body=changed, by=person)
            return Response(ClayBodySerializer(changed).data)

        return once(request, act)
