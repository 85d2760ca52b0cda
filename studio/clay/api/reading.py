"""Lots and the ledger, to read."""

from typing import Any

from django.db.models import QuerySet
from drf_spectacular.utils import extend_schema
from rest_framework.generics import GenericAPIView
from rest_framework.mixins import ListModelMixin
from rest_framework.request import Request
from rest_framework.response import Response

from studio.clay.models import Entry, Lot
from studio.people.api.views import caller
from studio.people.api_access import Staff

from .serializers import EntrySerializer, LotSerializer


class Lots(ListModelMixin, GenericAPIView[Lot]):
    permission_classes = [Staff]
    serializer_class = LotSerializer

    def get_queryset(self) -> QuerySet[Lot]:
        seen = Lot.objects.visible_to(caller(self.request))
        return seen.select_related("body").order_by("came_on", "pk")

    @extend_schema(operation_id="lots_list")
    def get(self, request: Request) -> Response:
        """The studio's lots, the oldest first, empty ones too."""
        return _listed(self)


class Entries(ListModelMixin, GenericAPIView[Entry]):
    permission_classes = [Staff]
    serializer_class = EntrySerializer

    def get_queryset(self) -> QuerySet[Entry]:
        seen = Entry.objects.visible_to(caller(self.request))
        return seen.select_related("pot__piece").order_by("-at", "pk")

    @extend_schema(operation_id="clay_entries_list")
    def get(self, request: Request) -> Response:
        """The ledger, the newest entry first."""
        return _listed(self)


def _listed(view: GenericAPIView[Any]) -> Response:
    page = view.paginate_queryset(view.get_queryset())
    return view.get_paginated_response(view.get_serializer(page, many=True).data)
