"""How rows laid, build checks and carrying on look in JSON. Lengths mm."""

from typing import Any

from rest_framework import serializers

from planning.api.compute_request import MeasuredSerializer
from planning.bench.sentences import Said as SaidOfCheck
from planning.plans.wording import said_sentence
from planning.rows.choices import MOST_ROWS
from planning.rows.sentences import Said as SaidOfRows
from studio.bench.models import BuildCheck, CarryOn, WallMeasure
from studio.bench.services.checks import MOST_PLACES
from studio.web.api_fields import NumberField


class ListedRowSerializer(serializers.Serializer[Any]):
    """A row of the list that holds; `laid_at` is null until it stands."""

    row = serializers.IntegerField()
    height_mm = serializers.FloatField()
    front_mm = serializers.FloatField()
    depth_mm = serializers.FloatField()
    perimeter_mm = serializers.FloatField()
    coil_length_mm = serializers.FloatField()
    coil_g = serializers.FloatField()
    coils = serializers.IntegerField()
    seam_clock = serializers.FloatField()
    blend = serializers.BooleanField()
    laid_at = serializers.DateTimeField(allow_null=True)
    laid_by = serializers.CharField(allow_null=True)


class ListedRestSerializer(serializers.Serializer[Any]):
    after_row = serializers.IntegerField()
    reason = serializers.CharField()
    message = serializers.CharField()


class ReachedSerializer(serializers.Serializer[Any]):
    """By the end of the lesson on this date the wall should stand here."""

    on = serializers.DateField()
    row = serializers.IntegerField()
    height_mm = serializers.FloatField()


class PotRowsSerializer(serializers.Serializer[Any]):
    coil_mm = serializers.FloatField()
    laid = serializers.IntegerField()
    rows = ListedRowSerializer(many=True)
    rests = ListedRestSerializer(many=True)
    reached = ReachedSerializer(many=True)


class LaidSerializer(serializers.Serializer[Any]):
    laid = serializers.IntegerField(min_value=0, max_value=MOST_ROWS)


class NewWallSerializer(serializers.Serializer[Any]):
    height_mm = NumberField()
    after_row = serializers.IntegerField(min_value=1, max_value=MOST_ROWS)


class WallSerializer(serializers.ModelSerializer[WallMeasure]):
    message = serializers.SerializerMethodField()
    by = serializers.CharField(source="by.name", read_only=True)

    class Meta:
        model = WallMeasure
        fields = ("id", "after_row", "height_mm", "wall_mm", "message", "at", "by")

    def get_message(self, measure: WallMeasure) -> str:
        return said_sentence(SaidOfRows(measure.said["code"], measure.said["values"]))


class NewBuildCheckSerializer(serializers.Serializer[Any]):
    measured: serializers.BaseSerializer[Any] = serializers.ListSerializer(
        child=MeasuredSerializer(), min_length=1, max_length=MOST_PLACES
    )


class CheckedPlaceSerializer(serializers.Serializer[Any]):
    """What was measured, what the plan has there, and the answer."""

    measured = serializers.JSONField()
    planned = serializers.JSONField()
    deviation_mm = serializers.FloatField()
    action = serializers.CharField()
    darts = serializers.JSONField(allow_null=True)
    message = serializers.SerializerMethodField()

    def get_message(self, place: dict[str, Any]) -> str:
        return said_sentence(SaidOfCheck(place["code"], place["values"]))


class KeptBuildCheckSerializer(serializers.ModelSerializer[BuildCheck]):
    by = serializers.CharField(source="by.name", read_only=True)
    checks = CheckedPlaceSerializer(source="places", many=True, read_only=True)

    class Meta:
        model = BuildCheck
        fields = ("id", "pot", "checks", "at", "by", "struck_out_at", "reason")


class CarryOnSerializer(serializers.ModelSerializer[CarryOn]):
    asked_by = serializers.CharField(source="asked_by.name", read_only=True)
    decided_by = serializers.CharField(source="decided_by.name", read_only=True, default=None)
    build_check = serializers.UUIDField(source="check_made_id", read_only=True)

    class Meta:
        model = CarryOn
        fields = (
            "id",
            "pot",
            "build_check",
            "after_row",
            "standing",
            "figures",
            "computation",
            "state",
            "asked_at",
            "asked_by",
            "decided_at",
            "decided_by",
            "note",
        )


class StrikeSerializer(serializers.Serializer[Any]):
    reason = serializers.CharField(max_length=400)


class AskSerializer(serializers.Serializer[Any]):
    """How many rows stand."""

    laid = serializers.IntegerField(min_value=1, max_value=MOST_ROWS)


class AnswerSerializer(serializers.Serializer[Any]):
    note = serializers.CharField(max_length=1000, required=False, allow_blank=True, default="")
