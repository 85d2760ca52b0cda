"""Orders of clay, and scrap that dries, over the API."""

from typing import Any
from uuid import UUID

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.generics import GenericAPIView
from rest_framework.mixins import ListModelMixin
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from studio.clay import services
from studio.clay.models import MOST_BAGS, Batch, Lot, Order
from studio.people.api.views import ONCE, caller
from studio.people.api_access import Staff
from studio.people.idempotency import once
from studio.room.models import ClayBody
from studio.web.api_fields import FiguresSerializer, NumberField

from .moving import posted
from .serializers import LotSerializer, Seen, label_field


class OrderSerializer(FiguresSerializer[Order]):
    class Meta:
        model = Order
        fields = (
            "id",
            "body",
            "bags",
            "bag_g",
            "cost",
            "currency",
            "note",
            "ordered_on",
            "expected_on",
            "lot",
            "called_off_at",
        )
        read_only_fields = ("lot", "called_off_at")


class NewOrderSerializer(serializers.Serializer[Any]):
    body = Seen(ClayBody, "studio")
    bags = serializers.IntegerField(min_value=1, max_value=MOST_BAGS)
    bag_g = NumberField()
    cost = serializers.DecimalField(
        max_digits=8, decimal_places=2, min_value=0, allow_null=True, default=None
    )
    currency = serializers.CharField(max_length=3, allow_blank=True, default="")
    note = serializers.CharField(max_length=80, allow_blank=True, default="")
    ordered_on = serializers.DateField()
    expected_on = serializers.DateField()


class ArrivalSerializer(serializers.Serializer[Any]):
    bags = serializers.IntegerField(min_value=1, max_value=MOST_BAGS)
    label = label_field()
    came_on = serializers.DateField()


class BatchSerializer(serializers.ModelSerializer[Batch]):
    id = serializers.UUIDField(source="pk", read_only=True)
    lot = serializers.UUIDField(source="out.lot_id", read_only=True)
    taken_g = serializers.IntegerField(read_only=True)

    class Meta:
        model = Batch
        fields = ("id", "lot", "taken_g", "ready_on")


class NewBatchSerializer(serializers.Serializer[Any]):
    lot = Seen(Lot, "body", "studio")
    taken_g = NumberField()
    ready_on = serializers.DateField()


class EndSerializer(serializers.Serializer[Any]):
    ready_g = NumberField()
    label = label_field()


class ClayOrders(ListModelMixin, GenericAPIView[Order]):
    permission_classes = [Staff]
    serializer_class = OrderSerializer

    def get_queryset(self) -> QuerySet[Order]:
        return Order.objects.visible_to(caller(self.request)).order_by("-ordered_on", "pk")

    @extend_schema(operation_id="clay_orders_list")
    def get(self, request: Request) -> Response:
        """The newest first; one without `lot` and `called_off_at` is on its way."""
        page = self.paginate_queryset(self.get_queryset())
        return self.get_paginated_response(self.get_serializer(page, many=True).data)

    @extend_schema(request=NewOrderSerializer, responses={201: OrderSerializer}, parameters=[ONCE])
    def post(self, request: Request) -> Response:
        """Clay that was ordered; this sends nothing to anybody."""
        return posted(
            request,
            NewOrderSerializer,
            lambda values, by, at: services.place_order(by=by, at=at, **values),
            OrderSerializer,
        )


class _OfOrder(APIView):
    permission_classes = [Staff]

    def order(self, request: Request, pk: UUID) -> Order:
        seen = Order.objects.visible_to(caller(request)).select_related("studio", "body")
        return get_object_or_404(seen, pk=pk)


class OrderArrival(_OfOrder):
    @extend_schema(request=ArrivalSerializer, responses={201: LotSerializer}, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """It came, and is a lot from now on."""
        order = self.order(request, pk)
        return posted(
            request,
            ArrivalSerializer,
            lambda values, by, at: services.take_in_order(order=order, by=by, at=at, **values),
            LotSerializer,
        )


class OrderCallOff(_OfOrder):
    @extend_schema(request=None, responses=OrderSerializer, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """It won't come."""
        order, by = self.order(request, pk), caller(request)

        def act() -> Response:
            kept = services.call_off_order(order=order, by=by, at=timezone.now())
            return Response(OrderSerializer(kept).data)

        return once(request, act)


class ClayBatches(ListModelMixin, GenericAPIView[Batch]):
    permission_classes = [Staff]
    serializer_class = BatchSerializer

    def get_queryset(self) -> QuerySet[Batch]:
        seen = Batch.objects.visible_to(caller(self.request)).drying()
        return seen.select_related("out").order_by("ready_on", "pk")

    @extend_schema(operation_id="clay_batches_list")
    def get(self, request: Request) -> Response:
        """Scrap that dries now, the first ready first."""
        page = self.paginate_queryset(self.get_queryset())
        return self.get_paginated_response(self.get_serializer(page, many=True).data)

    @extend_schema(request=NewBatchSerializer, responses={201: BatchSerializer}, parameters=[ONCE])
    def post(self, request: Request) -> Response:
        """Scrap out of a bucket, put out to dry."""
        return posted(
            request,
            NewBatchSerializer,
            lambda values, by, at: services.put_out_to_dry(
                returned_lot=values.pop("lot"), by=by, at=at, **values
            ),
            BatchSerializer,
        )


class BatchEnd(APIView):
    permission_classes = [Staff]

    @extend_schema(request=EndSerializer, responses={201: LotSerializer}, parameters=[ONCE])
    def post(self, request: Request, pk: UUID) -> Response:
        """It is clay again, as a lot of its own."""
        seen = Batch.objects.visible_to(caller(request)).select_related("out__lot", "out__studio")
        batch = get_object_or_404(seen, pk=pk)
        return posted(
            request,
            EndSerializer,
            lambda values, by, at: services.end_batch(batch=batch, by=by, at=at, **values),
            LotSerializer,
        )
