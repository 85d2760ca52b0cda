"""Test bars for programs: the same rows, services and permissions as the pages."""

from typing import Any
from uuid import UUID

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers, status
from rest_framework.generics import GenericAPIView
from rest_framework.mixins import ListModelMixin
from rest_framework.request import Request
from rest_framework.response import Response

from studio.people.api.views import ONCE, caller
from studio.people.api_access import Staff
from studio.people.idempotency import once
from studio.room.models import ClayBody, ShrinkageBar
from studio.room.selectors.bars import bar_groups
from studio.room.services import add_bars, edit_bar, use_bars
from studio.room.services.bars import EDITABLE
from studio.room.shrinkage import drying_pct, firing_pct, ignition_pct, total_pct, water_pct
from studio.web.api_fields import NumberField

from .bodies import ClayBodySerializer

FIGURES = {
    "drying_shrinkage_pct": drying_pct,
    "firing_shrinkage_pct": firing_pct,
    "total_shrinkage_pct": total_pct,
    "water_pct_wet_basis": water_pct,
    "loss_on_ignition_pct": ignition_pct,
}


class BarSerializer(serializers.ModelSerializer[ShrinkageBar]):
    """Lengths between the marks in mm, masses in g. Drying and total shrinkage count on the wet
    length, firing shrinkage on the dry one; null where it wasn't measured (yet).
    """

    mark = serializers.CharField(max_length=12, required=False)
    figures = serializers.SerializerMethodField()

    class Meta:
        model = ShrinkageBar
        fields = ("id", *EDITABLE, "made_by", "figures")
        read_only_fields = ("made_by",)
        validators: list[Any] = []

    def get_figures(self, bar: ShrinkageBar) -> dict[str, float | None]:
        return {name: figure(bar) for name, figure in FIGURES.items()}

    def build_standard_field(self, field_name: str, model_field: Any) -> tuple[type[Any], Any]:
        kind, kwargs = super().build_standard_field(field_name, model_field)
        return (NumberField if kind is serializers.FloatField else kind), kwargs


class NewBarsSerializer(serializers.Serializer[Any]):
    """All or none; a bar without a mark gets the next number."""

    bars = BarSerializer(many=True)


class BarSpreadSerializer(serializers.Serializer[Any]):
    """`deviation` is that of a sample, null for one bar."""

    bars = serializers.IntegerField()
    mean = serializers.FloatField()
    deviation = serializers.FloatField(allow_null=True)
    least = serializers.FloatField()
    most = serializers.FloatField()


class BarGroupSerializer(serializers.Serializer[Any]):
    """What the bars of one firing say together, in per cent; `cone` is empty for unfired bars."""

    cone = serializers.CharField()
    usable = serializers.BooleanField()
    drying = BarSpreadSerializer(source="figures.drying", allow_null=True)
    firing = BarSpreadSerializer(source="figures.firing", allow_null=True)
    total = BarSpreadSerializer(source="figures.total", allow_null=True)
    water = BarSpreadSerializer(source="figures.water", allow_null=True)
    ignition = BarSpreadSerializer(source="figures.ignition", allow_null=True)


class BarConeSerializer(serializers.Serializer[Any]):
    cone = serializers.CharField(max_length=4)


class BodyBars(ListModelMixin, GenericAPIView[ShrinkageBar]):
    permission_classes = [Staff]
    serializer_class = BarSerializer

    def get_queryset(self) -> QuerySet[ShrinkageBar]:
        return ShrinkageBar.objects.visible_to(caller(self.request))

    @extend_schema(operation_id="test_bars_list")
    def get(self, request: Request, pk: UUID) -> Response:
        """The test bars of a clay body, those left out too."""
        body = _body(request, pk)
        page = self.paginate_queryset(self.get_queryset().filter(body=body))
        return self.get_paginated_response(self.get_serializer(page, many=True).data)

    @extend_schema(request=NewBarsSerializer, responses={201: NewBarsSerializer}, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """Several bars at once."""
        person, body = caller(request), _body(request, pk)
        typed = NewBarsSerializer(data=request.data)
        typed.is_valid(raise_exception=True)
        bars, today = typed.validated_data["bars"], timezone.localdate()

        def act() -> Response:
            made = add_bars(body=body, by=person, bars=bars, today=today)
            return Response(NewBarsSerializer({"bars": made}).data, status=status.HTTP_201_CREATED)

        return once(request, act)


class OneBar(GenericAPIView[ShrinkageBar]):
    permission_classes = [Staff]
    serializer_class = BarSerializer

    def get_queryset(self) -> QuerySet[ShrinkageBar]:
        seen = ShrinkageBar.objects.visible_to(caller(self.request))
        return seen.select_related("body__studio", "made_by")

    def get(self, request: Request, pk: UUID) -> Response:
        return Response(BarSerializer(get_object_or_404(self.get_queryset(), pk=pk)).data)

    @extend_schema(parameters=[ONCE])
    def patch(self, request: Request, pk: UUID) -> Response:
        """Whatever is left out stays as it is. `left_out` takes the bar out of the means."""
        person = caller(request)
        bar = get_object_or_404(self.get_queryset(), pk=pk)
        typed = BarSerializer(data=request.data, partial=True)
        typed.is_valid(raise_exception=True)
        values, today = typed.validated_data, timezone.localdate()

        def act() -> Response:
            changed = edit_bar(bar=bar, by=person, values=values, today=today)
            return Response(BarSerializer(changed).data)

        return once(request, act)


class BodyShrinkage(GenericAPIView[ClayBody]):
    permission_classes = [Staff]
    serializer_class = BarGroupSerializer
    pagination_class = None  # a body has a handful of groups

    @extend_schema(operation_id="clay_body_shrinkage", responses=BarGroupSerializer(many=True))
    def get(self, request: Request, pk: UUID) -> Response:
        """Means and spread of the body's test bars, a line for each cone they were fired to."""
        return Response(BarGroupSerializer(bar_groups(_body(request, pk)), many=True).data)

    @extend_schema(request=BarConeSerializer, responses=ClayBodySerializer, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """The means of the bars fired to this cone become the body's figures; sent plans keep
        theirs.
        """
        person, body = caller(request), _body(request, pk)
        typed = BarConeSerializer(data=request.data)
        typed.is_valid(raise_exception=True)
        cone, today = typed.validated_data["cone"], timezone.localdate()

        def act() -> Response:
            changed = use_bars(body=body, by=person, cone=cone, on=today)
            return Response(ClayBodySerializer(changed).data)

        return once(request, act)


def _body(request: Request, pk: UUID) -> ClayBody:
    seen = ClayBody.objects.visible_to(caller(request)).select_related("studio")
    return get_object_or_404(seen, pk=pk)
