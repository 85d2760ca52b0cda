"""Kilns for programs: the same rows, services and permissions as the pages."""

from typing import Any
from uuid import UUID

from django.db import models, transaction
from django.db.models import QuerySet
from django.shortcuts import get_object_or_404
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers, status
from rest_framework.generics import GenericAPIView
from rest_framework.mixins import ListModelMixin
from rest_framework.request import Request
from rest_framework.response import Response

from studio.kilns.services.kilns import change_kiln, put_kiln_away, set_up_kiln
from studio.people.access import studio_of
from studio.people.api.views import ONCE, caller
from studio.people.api_access import Staff
from studio.people.idempotency import once
from studio.people.models import User
from studio.room.models import Kiln, PostSet
from studio.room.services import bring_back_kiln
from studio.room.services.kilns import PLAIN, Posts
from studio.web.api_fields import NumberField, WholeRow

from .fields import OfTheStudio, TimeOfDay


class PostsSerializer(WholeRow, serializers.ModelSerializer[PostSet]):
    class Meta:
        model = PostSet
        fields = ("height_mm", "sets")
        validators: list[Any] = []


class KilnSerializer(serializers.ModelSerializer[Kiln]):
    """Hours are on the studio's clock; a span that ends before it begins passes midnight."""

    serializer_field_mapping = {
        **serializers.ModelSerializer.serializer_field_mapping,
        models.FloatField: NumberField,
        models.TimeField: TimeOfDay,
    }

    confirms_shut_off = OfTheStudio(User.objects.staff())
    not_together_with = OfTheStudio(Kiln.objects.all(), many=True, required=False)
    posts = PostsSerializer(many=True, required=False)

    class Meta:
        model = Kiln
        fields = ("id", *PLAIN, "confirms_shut_off", "not_together_with", "posts", "retired")
        validators: list[Any] = []

    def validate_posts(self, rows: list[dict[str, Any]]) -> list[Posts]:
        return [Posts(each["height_mm"], each.get("sets", 1)) for each in rows]


class _Kilns(GenericAPIView[Kiln]):
    permission_classes = [Staff]
    serializer_class = KilnSerializer

    def get_queryset(self) -> QuerySet[Kiln]:
        seen = Kiln.objects.visible_to(caller(self.request)).select_related("studio")
        return seen.prefetch_related("not_together_with", "posts").order_by("name", "pk")

    def answer(self, kiln: Kiln, code: int = status.HTTP_200_OK) -> Response:
        return Response(self.get_serializer(self.get_queryset().get(pk=kiln.pk)).data, status=code)


class Kilns(ListModelMixin, _Kilns):
    @extend_schema(operation_id="kilns_list")
    def get(self, request: Request) -> Response:
        """The studio's kilns, retired ones too. Nothing here switches a kiln."""
        page = self.paginate_queryset(self.get_queryset())
        return self.get_paginated_response(self.get_serializer(page, many=True).data)

    @extend_schema(responses={201: KilnSerializer}, parameters=[ONCE])
    def post(self, request: Request) -> Response:
        """One more kiln; with the first one come the programs that a studio starts with."""
        person = caller(request)
        typed = self.get_serializer(data=request.data)
        typed.is_valid(raise_exception=True)

        def act() -> Response:
            kiln = set_up_kiln(studio=studio_of(person), by=person, kiln=typed.validated_data)
            return self.answer(kiln, status.HTTP_201_CREATED)

        return once(request, act)


class OneKiln(_Kilns):
    def get(self, request: Request, pk: UUID) -> Response:
        kiln = get_object_or_404(self.get_queryset(), pk=pk)
        return Response(self.get_serializer(kiln).data)

    @extend_schema(parameters=[ONCE])
    def patch(self, request: Request, pk: UUID) -> Response:
        """Whatever is left out stays as it is; `posts` and `not_together_with` are given whole."""
        person, at = caller(request), timezone.now()
        kiln = get_object_or_404(self.get_queryset(), pk=pk)
        typed = self.get_serializer(kiln, data=request.data, partial=True)
        typed.is_valid(raise_exception=True)
        values = typed.validated_data

        def act() -> Response:
            with transaction.atomic():
                changed = change_kiln(kiln=kiln, by=person, values=values, at=at)
                if values.get("retired") is True:
                    put_kiln_away(kiln=changed, by=person, at=at)
                elif values.get("retired") is False:
                    bring_back_kiln(kiln=changed, by=person)
            return self.answer(changed)

        return once(request, act)
