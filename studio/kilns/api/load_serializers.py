"""Loads and the firing log as JSON. Lengths in mm, temperatures in °C."""

from typing import Any
from uuid import UUID

from rest_framework import serializers

from studio.kilns.models import ConeKind, LogEntry, Placement, Slot, WitnessReading
from studio.kilns.packing.inputs import PARTS
from studio.kilns.packing.tolerances import MOST_LENGTH_MM
from studio.kilns.selectors.waiting import Waiting
from studio.kilns.services.firing import LEAST_C, MOST_C, OUTCOMES, Outcome
from studio.kilns.services.loads import MOST_POTS, LeftOut
from studio.ware.models import Cause, Pot
from studio.web.api_fields import MomentField, NumberField

from .fields import OfTheStudio

MOST_LAYERS = 60
"""As many as a kiln has shelves at most, whole and half ones."""


class PlacementSerializer(serializers.ModelSerializer[Placement]):
    """`layer` counts from 0 at the bottom; x to the right and y to the back of the shelf's centre,
    turned counter-clockwise. `host`: the pot that it stands in or on, at that one's place;
    `together_mm`, of a host, is how high it is with all that stand in or on it."""

    host = serializers.UUIDField(source="host.pot_id", read_only=True, allow_null=True)
    code = serializers.CharField(source="pot.code", read_only=True)

    class Meta:
        model = Placement
        fields = (
            "id",
            "pot",
            "code",
            "layer",
            "x_mm",
            "y_mm",
            "turn_deg",
            "front_mm",
            "depth_mm",
            "height_mm",
            "host",
            "together_mm",
            "pinned",
            "done",
        )


class LoadSerializer(serializers.Serializer[Any]):
    """`posts_mm` and `parts` of the layers from the bottom up, whole ones before left halves before
    right ones; the top one stands open and has null. Halves stand on the last whole layer, the
    right ones on posts of `right_post_mm` there. `share_filled` is the part of the kiln's shelf
    area that is filled, 0 to 1."""

    posts_mm = serializers.ListField(child=NumberField(allow_null=True))
    parts = serializers.ListField(child=serializers.ChoiceField(choices=PARTS))
    right_post_mm = NumberField(allow_null=True)
    pots = serializers.IntegerField()
    share_filled = NumberField()


class FiringSerializer(serializers.ModelSerializer[Slot]):
    class Meta:
        model = Slot
        fields = (
            "id",
            "lit_at",
            "lit_by",
            "part_full_reason",
            "off_at",
            "off_by",
            "witness_cone",
            "unloaded_at",
            "unloaded_by",
        )


class PotsSerializer(serializers.Serializer[Any]):
    """Pots of the studio, the most urgent first."""

    pots = serializers.ListField(
        child=OfTheStudio(Pot.objects.select_related("piece__assignment", "plan")),
        min_length=1,
        max_length=MOST_POTS,
    )


class PinSerializer(PotsSerializer):
    pinned = serializers.BooleanField()


class LeftOutSerializer(serializers.Serializer[LeftOut]):
    pot = serializers.UUIDField(source="pot.pk")
    reason = serializers.CharField()


class LoadedSerializer(serializers.Serializer[Any]):
    placed = PlacementSerializer(many=True)
    left_out = LeftOutSerializer(many=True)


class MovedSerializer(serializers.Serializer[Any]):
    moved = serializers.BooleanField()


class StandsAtSerializer(serializers.Serializer[Any]):
    """A place as placements have it. A `layer` one above all others in number is a new shelf on
    top: a whole one, or by its `part` a half one on that side."""

    layer = serializers.IntegerField(min_value=0, max_value=MOST_LAYERS)
    x_mm = NumberField()
    y_mm = NumberField()
    turn_deg = NumberField(min_value=-360, max_value=360, default=0.0)
    part = serializers.ChoiceField(choices=PARTS, default="whole")


class MoveSerializer(serializers.Serializer[Any]):
    """`seen`: where the caller saw the pot; moved meanwhile by somebody else, it stays there."""

    pot = OfTheStudio(Pot.objects.all())
    to = StandsAtSerializer()
    seen = StandsAtSerializer()


class NestSerializer(serializers.Serializer[Any]):
    """In or on `host`, a pot of the same load. `together_mm`: how high it is then with all that
    stand in or on it, as measured; `seen`: those that the caller saw in or on it before."""

    host = OfTheStudio(Pot.objects.all())
    together_mm = NumberField(min_value=1, max_value=MOST_LENGTH_MM)
    seen = serializers.ListField(child=serializers.UUIDField(), max_length=MOST_POTS, default=list)


class WaitingSerializer(serializers.Serializer[Waiting]):
    pot = serializers.UUIDField(source="pot.pk")
    code = serializers.CharField(source="pot.code")
    section = serializers.UUIDField(source="section.pk")
    since = serializers.DateTimeField()
    late = serializers.BooleanField()


class LightSerializer(serializers.Serializer[Any]):
    part_full_reason = serializers.CharField(max_length=200, allow_blank=True, default="")


class ShutOffSerializer(serializers.Serializer[Any]):
    witness_cone = serializers.CharField(max_length=40, allow_blank=True, default="")


class LogEntrySerializer(serializers.ModelSerializer[LogEntry]):
    """A temperature, a remark, or both. `at` is now where it is left out."""

    at = MomentField(required=False)
    temp_c = NumberField(required=False, allow_null=True, min_value=LEAST_C, max_value=MOST_C)
    note = serializers.CharField(max_length=200, allow_blank=True, default="")

    class Meta:
        model = LogEntry
        fields = ("id", "at", "temp_c", "note", "by")
        read_only_fields = ("by",)
        validators: list[Any] = []


class WitnessReadingSerializer(serializers.ModelSerializer[WitnessReading]):
    """One witness cone: `bent` from 0, upright, to 1, its tip level with its base."""

    bent = NumberField(min_value=0, max_value=1)
    kind = serializers.ChoiceField(choices=ConeKind.choices, default=ConeKind.SELF_SUPPORTING)
    place = serializers.CharField(max_length=60, allow_blank=True, default="")

    class Meta:
        model = WitnessReading
        fields = ("id", "cone", "kind", "place", "bent", "at", "by")
        read_only_fields = ("at", "by")
        validators: list[Any] = []


class ResultSerializer(serializers.Serializer[Any]):
    pot = serializers.UUIDField()
    kind = serializers.ChoiceField(choices=OUTCOMES, default="ok")
    words = serializers.CharField(max_length=200, allow_blank=True, default="")
    cause = serializers.ChoiceField(choices=Cause.choices, default=Cause.UNKNOWN)


class UnloadSerializer(serializers.Serializer[Any]):
    """One result for each pot. `read_below`: the kiln was read below its unloading temperature
    before it was opened. `reached`: a firing that was off early reached its heat all the same, by
    its witness cones."""

    results = ResultSerializer(many=True)
    read_below = serializers.BooleanField()
    reached = serializers.BooleanField(default=False)
    witness_cone = serializers.CharField(max_length=40, allow_blank=True, required=False)

    def outcomes(self) -> dict[UUID, Outcome]:
        return {
            each["pot"]: Outcome(each["kind"], each["words"], each["cause"])
            for each in self.validated_data["results"]
        }
