"""Photos of whole sheets over the API: the same services as the pages."""

from typing import Any
from uuid import UUID

from django.shortcuts import get_object_or_404
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers, status
from rest_framework.generics import GenericAPIView
from rest_framework.mixins import ListModelMixin
from rest_framework.parsers import MultiPartParser
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from planning.models import Sheet, SourceForm, Thumbnail
from planning.services.sheets import add_sheet, take_sheet
from studio.people.access import person_of
from studio.web.api_fields import offer_related

from .piece_serializers import ThumbnailSerializer
from .pieces import own_piece, seen_piece


class SheetSerializer(serializers.ModelSerializer[Sheet]):
    """`boxes` are [x, y, width, height] in pixels of the photo; null until it was taken apart."""

    state = serializers.CharField(read_only=True)
    refusal = serializers.CharField(source="image.refusal", read_only=True)
    width = serializers.IntegerField(source="image.width", read_only=True, allow_null=True)
    height = serializers.IntegerField(source="image.height", read_only=True, allow_null=True)
    boxes = serializers.ListField(
        child=serializers.ListField(child=serializers.IntegerField()),
        read_only=True,
        allow_null=True,
    )

    class Meta:
        model = Sheet
        fields = (
            "id",
            "state",
            "refusal",
            "width",
            "height",
            "boxes",
            "edition",
            "added_at",
            "taken_at",
        )


class NewSheetSerializer(serializers.Serializer[Any]):
    sheet = serializers.FileField(allow_empty_file=True)


class TakeSheetSerializer(serializers.Serializer[Any]):
    edition = serializers.IntegerField(
        min_value=0, help_text="That of the boxes which you saw; others are not taken."
    )
    source_form = serializers.PrimaryKeyRelatedField(
        queryset=SourceForm.objects.none(),
        required=False,
        allow_null=True,
        default=None,
        help_text="What all of its drawings grew from; of each it can be changed.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if piece := self.context.get("piece"):
            offer_related(self, source_form=SourceForm.objects.offered_in(piece.studio_id))


class PieceSheets(ListModelMixin, GenericAPIView[Any]):
    parser_classes = [MultiPartParser]
    serializer_class = SheetSerializer
    queryset = Sheet.objects.none()

    @extend_schema(operation_id="piece_sheets_list")
    def get(self, request: Request, pk: UUID) -> Response:
        """The photos of whole sheets of a piece, the newest first."""
        rows = Sheet.objects.filter(piece=seen_piece(request, pk)).select_related("image")
        page = self.paginate_queryset(rows)
        return self.get_paginated_response(self.get_serializer(page, many=True).data)

    @extend_schema(request=NewSheetSerializer, responses={201: SheetSerializer})
    def post(self, request: Request, pk: UUID) -> Response:
        """One more photo of a sheet; its drawings are looked for by themselves."""
        piece = own_piece(request, pk)
        sent = NewSheetSerializer(data=request.data)
        sent.is_valid(raise_exception=True)
        file = sent.validated_data["sheet"]
        sheet = add_sheet(piece=piece, by=person_of(request), file=file, at=timezone.now())
        return Response(self.get_serializer(sheet).data, status=status.HTTP_201_CREATED)


class SheetTake(APIView):
    @extend_schema(request=TakeSheetSerializer, responses=ThumbnailSerializer(many=True))
    def post(self, request: Request, pk: UUID) -> Response:
        """Each box becomes a thumbnail; asked again, the same ones are answered."""
        own = Sheet.objects.drawn_by(person_of(request))
        sheet = get_object_or_404(own.select_related("image", "piece__studio"), pk=pk)
        sent = TakeSheetSerializer(data=request.data, context={"piece": sheet.piece})
        sent.is_valid(raise_exception=True)
        taken = take_sheet(
            sheet=sheet, by=person_of(request), at=timezone.now(), **sent.validated_data
        )
        made = Thumbnail.objects.filter(pk__in=[each.pk for each in taken])
        rows = made.select_related("image").order_by("position")
        context = {"request": request}
        return Response(ThumbnailSerializer(rows, many=True, context=context).data)
