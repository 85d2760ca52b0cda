"""`POST /api/compute/drawing/`: a photographed drawing as the measures of a plan, kept nowhere."""

import json
import math
from typing import Any, get_args

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from drf_spectacular.utils import extend_schema, extend_schema_field
from rest_framework import serializers
from rest_framework.parsers import MultiPartParser
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from planning.photos.tracing import traced_photo
from planning.photos.wording import reason_sentence
from planning.tracing import run
from planning.tracing.sides import Shows
from studio.web.slots import Slots

from .compute_photo import one_photo

_POINTS = {
    "type": "array",
    "minItems": 2,
    "maxItems": 4,
    "items": {"type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2},
}


@extend_schema_field(
    {
        "type": "object",
        "required": ["kind"],
        "properties": {
            "kind": {"type": "string", "enum": ["card", "points"]},
            "image": {
                **_POINTS,
                "description": "Two or four points, in pixels of the upright picture.",
            },
            "paper_mm": {**_POINTS, "description": "Where they are on the paper."},
        },
    }
)
class ScaleField(serializers.Field[Any, Any, Any, Any]):
    """JSON: the printed scale card lies in the picture, or points of known places."""

    def to_internal_value(self, data: Any) -> dict[str, Any]:
        try:
            scale = json.loads(data)
        except (TypeError, ValueError, RecursionError):
            raise serializers.ValidationError(
                _('This can\'t be read as JSON. Send {"kind": "card"}, or points.')
            ) from None
        if not isinstance(scale, dict):
            raise serializers.ValidationError(_('Send {"kind": "card"}, or points.'))
        try:
            run.taps_of(scale)
        except run.BadScale as bad:
            raise serializers.ValidationError({bad.path: _(str(bad))}) from None
        return {key: scale[key] for key in ("kind", "image", "paper_mm") if key in scale}


class _TypedNumberField(serializers.FloatField):
    """A number in a form's text."""

    def to_internal_value(self, data: Any) -> float:
        number: float = super().to_internal_value(data)
        if not math.isfinite(number):
            self.fail("invalid")
        return number


class DrawingRequestSerializer(serializers.Serializer[Any]):
    photo = serializers.FileField(
        allow_empty_file=True,
        help_text="JPEG, PNG, WebP, HEIC or a PDF of one page, at most 40 MB and 60 megapixels.",
    )
    scale = ScaleField()
    what = serializers.ChoiceField(
        choices=["drawing", "outline"],
        default="drawing",
        error_messages={"invalid_choice": gettext_lazy("Ask for a drawing or an outline.")},
        help_text="A side drawing with its height lines, or the outline of a base.",
    )
    spacing_mm = _TypedNumberField(
        required=False,
        min_value=run.LEAST_SPACING_MM,
        max_value=run.MOST_SPACING_MM,
        help_text="Between height lines; one of the usual ones if not said.",
    )
    shows = serializers.ChoiceField(
        choices=get_args(Shows),
        required=False,
        error_messages={"invalid_choice": gettext_lazy("Say half or whole, or leave it out.")},
        help_text="Whether half of the pot is drawn or the whole; found out if not said.",
    )


class TracedRowSerializer(serializers.Serializer[Any]):
    height_mm = serializers.FloatField()
    left_mm = serializers.FloatField()
    right_mm = serializers.FloatField()


def _homography(words: str) -> serializers.ListField:
    row = serializers.ListField(child=serializers.FloatField(), min_length=3, max_length=3)
    return serializers.ListField(
        child=row, min_length=3, max_length=3, allow_null=True, help_text=words
    )


class DrawingResponseSerializer(serializers.Serializer[Any]):
    """What is drawn, or why it can't be trusted; then there are no numbers."""

    trusted = serializers.BooleanField()
    reason = serializers.CharField(allow_null=True, help_text="Why not, and what to do.")
    reason_code = serializers.CharField(allow_null=True)
    rough = serializers.BooleanField(help_text="Only two points gave the scale.")
    profile = TracedRowSerializer(
        many=True, help_text="At the height lines, from the table to the rim."
    )
    asymmetry_mm = serializers.FloatField(
        allow_null=True,
        help_text="The largest difference of left and right; null where only half is drawn.",
    )
    spacing_mm = serializers.FloatField(allow_null=True)
    shows = serializers.ChoiceField(choices=get_args(Shows), allow_null=True)
    drawn_on = serializers.ChoiceField(
        choices=["both", "left", "right"],
        allow_null=True,
        help_text="On which side of its axis a half is drawn.",
    )
    points = serializers.ListField(
        child=serializers.ListField(child=serializers.FloatField(), min_length=2, max_length=2),
        help_text="Of an outline, once around from its middle: x to the right, y to the back.",
    )
    homography = _homography(
        "From [mm to the right, mm upwards, 1], from where axis and table meet or from the middle "
        "of an outline, to pixels of the upright picture, before the lens bends them."
    )
    points_homography = _homography(
        "From places of paper_mm to pixels, also of a drawing that could not be traced."
    )
    bend = serializers.FloatField(
        help_text="k of the lens: 1 + k·r² from the middle of the picture, r = 1 in its corners."
    )


class DrawingCompute(APIView):
    """Nothing is kept, so a person of any studio or none may ask."""

    parser_classes = [MultiPartParser]
    only_computes = True
    # Each holds a process of its own, of up to two gigabytes, for some seconds.
    slots = Slots(each=2, together=3)

    @extend_schema(request=DrawingRequestSerializer, responses={200: DrawingResponseSerializer})
    def post(self, request: Request) -> Response:
        """Trace a full-size drawing in a photo: half-widths at its height lines, or an outline."""
        sent = DrawingRequestSerializer(data=request.data)  # read first: see `PlanCompute`
        sent.is_valid(raise_exception=True)
        asked = dict(sent.validated_data)
        photo = asked.pop("photo")
        with one_photo(request, self.slots, photo, field="photo"):
            told = traced_photo(photo.chunks(), run.Asked(**asked))
        return Response(_answered(told))


def _answered(told: dict[str, Any]) -> dict[str, Any]:
    """The same names whatever was asked for."""
    reason = told["reason"]
    nothing: dict[str, Any] = {
        "profile": [],
        "asymmetry_mm": None,
        "spacing_mm": None,
        "shows": None,
        "drawn_on": None,
        "points": [],
    }
    return {
        **nothing,
        **told,
        "reason": None if reason is None else reason_sentence(reason),
        "reason_code": None if reason is None else reason["code"],
    }
