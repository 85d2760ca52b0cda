"""Places over the API: the same services and permissions as the pages."""

from typing import Any
from uuid import UUID

from django.db import transaction
from django.shortcuts import get_object_or_404
from drf_spectacular.utils import extend_schema
from rest_framework import status
from rest_framework.generics import GenericAPIView
from rest_framework.mixins import ListModelMixin
from rest_framework.request import Request
from rest_framework.response import Response

from studio.people.access import person_of, studio_of
from studio.people.api.views import ONCE
from studio.people.api_access import SignedInWithinScope, Staff
from studio.people.idempotency import once
from studio.ware.models import Place
from studio.ware.services import add_place, bring_back_place, edit_place, retire_place

from .serializers import PlaceSerializer


class _OfPlaces(GenericAPIView[Any]):
    serializer_class = PlaceSerializer
    queryset = Place.objects.none()

    def get_permissions(self) -> list[Any]:
        reads = self.request.method in {"GET", "HEAD", "OPTIONS"}
        return [SignedInWithinScope() if reads else Staff()]


class Places(ListModelMixin, _OfPlaces):
    @extend_schema(operation_id="places_list")
    def get(self, request: Request) -> Response:
        """The studio's places, retired ones too."""
        rows = Place.objects.visible_to(person_of(request)).order_by("name", "pk")
        page = self.paginate_queryset(rows)
        return self.get_paginated_response(self.get_serializer(page, many=True).data)

    @extend_schema(responses={201: PlaceSerializer}, parameters=[ONCE])
    def post(self, request: Request) -> Response:
        """One more place."""
        person = person_of(request)
        typed = self.get_serializer(data=request.data)
        typed.is_valid(raise_exception=True)
        name, kind = typed.validated_data["name"], typed.validated_data.get("kind", "shelf")

        def act() -> Response:
            place = add_place(studio=studio_of(person), by=person, name=name, kind=kind)
            return Response(PlaceSerializer(place).data, status=status.HTTP_201_CREATED)

        return once(request, act)


class OnePlace(_OfPlaces):
    @extend_schema(operation_id="place_read")
    def get(self, request: Request, pk: UUID) -> Response:
        return Response(PlaceSerializer(self._place(request, pk)).data)

    @extend_schema(parameters=[ONCE])
    def patch(self, request: Request, pk: UUID) -> Response:
        """Whatever is left out stays as it is; `retired` takes it off the list or back on."""
        person, place = person_of(request), self._place(request, pk)
        typed = self.get_serializer(data=request.data, partial=True)
        typed.is_valid(raise_exception=True)
        said = typed.validated_data

        def act() -> Response:
            with transaction.atomic():
                changed = edit_place(place=place, by=person, values=said)
                if "retired" in said:
                    retire = retire_place if said["retired"] else bring_back_place
                    changed = retire(place=changed, by=person)
            return Response(PlaceSerializer(changed).data)

        return once(request, act)

    def _place(self, request: Request, pk: UUID) -> Place:
        seen = Place.objects.visible_to(person_of(request)).select_related("studio")
        return get_object_or_404(seen, pk=pk)
