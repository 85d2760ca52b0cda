"""`POST /api/compute/sheet/`: where the drawings on a photographed sheet are, kept nowhere."""

from typing import Any

from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.parsers import MultiPartParser
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from planning.photos.sheets import drawings_of_sheet
from studio.web.slots import Slots

from .compute_photo import one_photo


class SheetRequestSerializer(serializers.Serializer[Any]):
    sheet = serializers.FileField(
        allow_empty_file=True,
        help_text="A page with one drawing or several: JPEG, PNG, WebP, HEIC or a PDF of one page, "
        "at most 40 MB and 60 megapixels.",
    )


class DrawingBoxSerializer(serializers.Serializer[Any]):
    x = serializers.IntegerField(min_value=0, help_text="From the left.")
    y = serializers.IntegerField(min_value=0, help_text="From the top.")
    width = serializers.IntegerField(min_value=1)
    height = serializers.IntegerField(min_value=1)


class SheetResponseSerializer(serializers.Serializer[Any]):
    """In pixels of the upright picture as it was sent; of a PDF as it was rendered."""

    width = serializers.IntegerField()
    height = serializers.IntegerField()
    drawings = DrawingBoxSerializer(
        many=True,
        help_text="In the order of reading, without notes, numbers and frames; none is found on a "
        "page where nothing is drawn.",
    )


class SheetCompute(APIView):
    """Nothing is kept, so a person of any studio or none may ask."""

    parser_classes = [MultiPartParser]
    only_computes = True
    # Each holds a process of its own, of up to two gigabytes, for a second or two.
    slots = Slots(each=2, together=3)

    @extend_schema(request=SheetRequestSerializer, responses={200: SheetResponseSerializer})
    def post(self, request: Request) -> Response:
        """Find the drawings on a photographed sheet of thumbnails."""
        sent = SheetRequestSerializer(data=request.data)  # read first: see `PlanCompute`
        sent.is_valid(raise_exception=True)
        sheet = sent.validated_data["sheet"]
        with one_photo(request, self.slots, sheet, field="sheet"):
            told = drawings_of_sheet(sheet.chunks())
        return Response(told)
