"""How pots, their checks and places look in JSON. Lengths mm."""

from typing import Any

from rest_framework import serializers

from studio.room.models import Glaze
from studio.ware.models import (
    Cause,
    DrynessCheck,
    Flaw,
    GlazeCheck,
    GreenwareCheck,
    Loss,
    Lost,
    Occasion,
    Place,
    Pot,
    PotPhoto,
    Stage,
    StageEntry,
    WeighedAs,
    Weighing,
)
from studio.web.api_fields import NumberField


class PotSerializer(serializers.ModelSerializer[Pot]):
    code = serializers.CharField(read_only=True)
    student = serializers.UUIDField(source="piece.student_id", read_only=True)
    section = serializers.UUIDField(source="piece.assignment.section_id", read_only=True)

    class Meta:
        model = Pot
        fields = (
            "id",
            "code",
            "piece",
            "number",
            "plan",
            "student",
            "section",
            "stage",
            "stage_at",
            "lost",
            "place",
            "placed_at",
            "covered_since",
            "said_built_at",
            "begun_at",
        )


class StageEntrySerializer(serializers.ModelSerializer[StageEntry]):
    by = serializers.CharField(source="by.name", read_only=True)

    class Meta:
        model = StageEntry
        fields = ("stage", "before", "at", "by", "reason")


class PlaceSerializer(serializers.ModelSerializer[Place]):
    class Meta:
        model = Place
        fields = ("id", "name", "kind", "retired")
        # The services check what belongs together, such as names that are there already.
        validators: list[Any] = []


class GreenwareSerializer(serializers.ModelSerializer[GreenwareCheck]):
    by = serializers.CharField(source="by.name", read_only=True)

    class Meta:
        model = GreenwareCheck
        fields = (
            "id",
            "thickest_mm",
            "height_mm",
            "front_mm",
            "depth_mm",
            "code_legible",
            "cracks",
            "at",
            "by",
            "withdrawn_at",
        )


class DrynessSerializer(serializers.ModelSerializer[DrynessCheck]):
    class Meta:
        model = DrynessCheck
        fields = ("id", "pot", "air_dry", "note", "at")


class GlazeCheckSerializer(serializers.ModelSerializer[GlazeCheck]):
    class Meta:
        model = GlazeCheck
        fields = ("id", "glazes", "foot_clean", "thickness_fits", "note", "passed", "at")


class FlawSerializer(serializers.ModelSerializer[Flaw]):
    class Meta:
        model = Flaw
        fields = ("id", "what", "mended", "cause", "at")
        read_only_fields = ("cause", "at")


class LossSerializer(serializers.ModelSerializer[Loss]):
    class Meta:
        model = Loss
        fields = ("id", "kind", "cause", "note", "stage", "at", "found_at")
        read_only_fields = ("stage", "at", "found_at")


class PotPhotoSerializer(serializers.ModelSerializer[PotPhoto]):
    state = serializers.CharField(source="image.state", read_only=True)
    refusal = serializers.CharField(source="image.refusal", read_only=True)

    class Meta:
        model = PotPhoto
        fields = ("id", "occasion", "state", "refusal", "at")


class _Pots(serializers.Serializer[Any]):
    pots = serializers.ListField(child=serializers.UUIDField(), min_length=1, max_length=200)


class NewStageSerializer(_Pots):
    stage = serializers.ChoiceField(Stage.choices)
    reason = serializers.CharField(max_length=400, required=False, allow_blank=True, default="")


class NewPlaceSerializer(_Pots):
    place = serializers.UUIDField()


class NewCoverSerializer(_Pots):
    covered = serializers.BooleanField()


class NewDrynessSerializer(_Pots):
    air_dry = serializers.BooleanField()
    note = serializers.CharField(max_length=200, required=False, allow_blank=True, default="")


class NewGreenwareSerializer(serializers.Serializer[Any]):
    thickest_mm = NumberField()
    height_mm = NumberField()
    front_mm = NumberField()
    depth_mm = NumberField()
    code_legible = serializers.BooleanField()
    cracks = serializers.CharField(max_length=400, required=False, allow_blank=True, default="")
    confirm = serializers.BooleanField(required=False, default=False)


class WeighingSerializer(serializers.ModelSerializer[Weighing]):
    class Meta:
        model = Weighing
        fields = ("id", "pot", "weighed_as", "grams", "step_g", "at")


class NewWeighingSerializer(serializers.Serializer[Any]):
    """`step_g`, in which the scale shows its weight, is asked of a drying pot."""

    weighed_as = serializers.ChoiceField(WeighedAs.choices)
    grams = NumberField()
    step_g = NumberField(allow_null=True, default=None)


class ReasonSerializer(serializers.Serializer[Any]):
    reason = serializers.CharField(max_length=400)


class BuiltSerializer(serializers.Serializer[Any]):
    built = serializers.BooleanField()


class NewGlazeCheckSerializer(serializers.Serializer[Any]):
    glazes = serializers.PrimaryKeyRelatedField(many=True, queryset=Glaze.objects.all())
    foot_clean = serializers.BooleanField()
    thickness_fits = serializers.BooleanField()
    note = serializers.CharField(max_length=200, required=False, allow_blank=True, default="")


class NewLossSerializer(serializers.Serializer[Any]):
    kind = serializers.ChoiceField(Lost.choices)
    note = serializers.CharField(max_length=400, required=False, allow_blank=True, default="")
    cause = serializers.ChoiceField(Cause.choices, required=False, default=Cause.UNKNOWN)


class CauseSerializer(serializers.Serializer[Any]):
    cause = serializers.ChoiceField(Cause.choices)


class NewPotPhotoSerializer(serializers.Serializer[Any]):
    photo = serializers.FileField(allow_empty_file=True)
    occasion = serializers.ChoiceField(Occasion.choices)
