"""`POST /api/compute/exploration/`: how many distinct ideas drawings show, kept nowhere."""

from typing import Any

from django.core.exceptions import TooManyFilesSent
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.parsers import MultiPartParser
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from planning.exploration.run import MOST_DRAWINGS
from planning.photos.ideas import ideas_of_photos, unreadable_sentence
from studio.errors import Refused
from studio.people.access import person_of
from studio.uploads.reading import Unreadable
from studio.web.slots import Slots

_TOO_MANY = gettext_lazy("Send at most sixty pictures at once.")
_NUMBER = "Counts the uploaded files from 0."


class ExplorationRequestSerializer(serializers.Serializer[Any]):
    drawings = serializers.ListField(
        child=serializers.FileField(allow_empty_file=True),
        min_length=1,
        max_length=MOST_DRAWINGS,
        error_messages={
            "min_length": gettext_lazy("Send at least one picture of a drawing."),
            "max_length": _TOO_MANY,
        },
        help_text="Pictures of one drawing each, in the order drawn: JPEG, PNG, WebP, HEIC or a "
        "PDF of one page, at most 40 MB and 60 megapixels each.",
    )


class UnreadableSerializer(serializers.Serializer[Any]):
    index = serializers.IntegerField(help_text=_NUMBER)
    reason = serializers.CharField(help_text="Why, and what to do.")
    reason_code = serializers.CharField()


def _numbers(words: str, *, least: int = 0, most: int | None = None) -> serializers.ListField:
    return serializers.ListField(
        child=serializers.IntegerField(), min_length=least, max_length=most, help_text=words
    )


class ExplorationResponseSerializer(serializers.Serializer[Any]):
    """How many ideas there are in effect, and which drawings are one."""

    count = serializers.IntegerField(help_text="Pictures sent.")
    distinct = serializers.FloatField(
        help_text="Distinct ideas: the Vendi score over one drawing of each group."
    )
    distinct_low = serializers.FloatField()
    distinct_high = serializers.FloatField(help_text="Mostly the true number lies within.")
    vendi = serializers.FloatField(help_text="The Vendi score over all readable drawings.")
    groups = serializers.ListField(
        child=_numbers(_NUMBER, least=1),
        help_text="Drawings that are one idea, copies left out; both in the order drawn.",
    )
    readable = _numbers("The drawings that show a form.")
    similarity = serializers.ListField(
        child=serializers.ListField(child=serializers.FloatField()),
        help_text="Of the readable drawings in order: 1 for the same, about 0 for two ideas.",
    )
    copies = serializers.ListField(
        child=_numbers(_NUMBER, least=2, most=2),
        help_text="A drawing, and one that is the same again: look at these two.",
    )
    unreadable = UnreadableSerializer(many=True)


class ExplorationCompute(APIView):
    """Nothing is kept, so a person of any studio or none may ask."""

    parser_classes = [MultiPartParser]
    only_computes = True
    # Each holds a process of its own, of up to two gigabytes, for some seconds.
    slots = Slots(each=1, together=2)

    @extend_schema(
        request=ExplorationRequestSerializer, responses={200: ExplorationResponseSerializer}
    )
    def post(self, request: Request) -> Response:
        """Compare drawings by the form that they draw, and count the ideas among them."""
        sent = ExplorationRequestSerializer(data=_read(request))  # first: see `PlanCompute`
        sent.is_valid(raise_exception=True)
        files = sent.validated_data["drawings"]
        with self.slots.taken_by(person_of(request).pk):
            try:
                told = ideas_of_photos(files)
            except Unreadable:
                raise Refused(
                    _(
                        "These pictures could not all be opened within the time and memory that "
                        "one request may take. Send fewer at once, or save them smaller."
                    ),
                    field="drawings",
                ) from None
        return Response(_answered(told))


def _read(request: Request) -> Any:
    """What was sent; no request may hold more files than may be compared."""
    try:
        return request.data
    except TooManyFilesSent:
        raise serializers.ValidationError({"drawings": [_TOO_MANY]}) from None


def _answered(told: dict[str, Any]) -> dict[str, Any]:
    answered = {key: told[key] for key in told if key not in {"low", "high", "unreadable"}}
    unreadable = [
        {
            "index": each["index"],
            "reason": unreadable_sentence(each),
            "reason_code": each["code"],
        }
        for each in told["unreadable"]
    ]
    limits = {"distinct_low": told["low"], "distinct_high": told["high"]}
    return answered | limits | {"unreadable": unreadable}
