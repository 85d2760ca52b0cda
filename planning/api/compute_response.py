"""What the compute API of a plan answers, for its schema."""

from typing import Any, get_args

from rest_framework import serializers

from planning.bench.checking import Action


class VolumeSerializer(serializers.Serializer[Any]):
    wall = serializers.FloatField()
    base = serializers.FloatField()
    corner = serializers.FloatField()
    total = serializers.FloatField()


class MassesSerializer(serializers.Serializer[Any]):
    pot_wet = serializers.FloatField()
    issue_low = serializers.FloatField()
    issue = serializers.FloatField()
    issue_high = serializers.FloatField()
    bone_dry = serializers.FloatField()
    fired = serializers.FloatField()


class SizeSerializer(serializers.Serializer[Any]):
    height = serializers.FloatField()
    front = serializers.FloatField()
    depth = serializers.FloatField()


class SizesSerializer(serializers.Serializer[Any]):
    wet = SizeSerializer()
    dry = SizeSerializer()
    fired = SizeSerializer()


class RowSerializer(serializers.Serializer[Any]):
    row = serializers.IntegerField()
    height_mm = serializers.FloatField(help_text="Of its top edge, above the table.")
    front_mm = serializers.FloatField(help_text="Of the outer surface at its top edge.")
    depth_mm = serializers.FloatField(help_text="Of the outer surface at its top edge.")
    perimeter_mm = serializers.FloatField(help_text="At mid-wall, the mean over the row.")
    coil_length_mm = serializers.FloatField(help_text="The perimeter and the scarf, tip to tip.")
    coil_g = serializers.FloatField(help_text="The clay of the row.")
    seam_clock = serializers.FloatField(help_text="Hours, 0 to 12, from a mark at the front.")
    blend = serializers.BooleanField(help_text="Work the rows together after this one.")
    coils = serializers.IntegerField(help_text="How many coils make up the row.")
    slant_mm = serializers.FloatField(help_text="Length of wall from the floor to its top edge.")


class RestSerializer(serializers.Serializer[Any]):
    after_row = serializers.IntegerField()
    reason = serializers.CharField()
    message = serializers.CharField()


class HeightLineSerializer(serializers.Serializer[Any]):
    height_mm = serializers.FloatField()
    front_mm = serializers.FloatField()
    depth_mm = serializers.FloatField()
    perimeter_mm = serializers.FloatField(help_text="On the outer surface.")


class AsymmetrySerializer(serializers.Serializer[Any]):
    largest_mm = serializers.FloatField()
    height_mm = serializers.FloatField()
    front_mm = serializers.FloatField()


class WarningSerializer(serializers.Serializer[Any]):
    code = serializers.CharField()
    message = serializers.CharField()


class PlanResponseSerializer(serializers.Serializer[Any]):
    """What the plan comes to, of the wet pot where nothing else is said."""

    volume_cm3 = VolumeSerializer()
    capacity_cm3 = serializers.FloatField()
    outer_area_cm2 = serializers.FloatField(help_text="The wall's outside, without the underside.")
    clay_g = MassesSerializer()
    size_mm = SizesSerializer()
    coil_mm = serializers.FloatField(
        required=False, help_text="The diameter that makes up the wall in whole rows."
    )
    rows = RowSerializer(many=True, required=False)
    rests = RestSerializer(many=True, required=False)
    height_lines = HeightLineSerializer(many=True)
    asymmetry = AsymmetrySerializer(help_text="Left against right, as drawn.")
    silhouette = serializers.ListField(
        child=serializers.ListField(child=serializers.FloatField(), min_length=3, max_length=3),
        help_text="Height, left and right of the wet outer form.",
    )
    warnings = WarningSerializer(many=True)


class DartsSerializer(serializers.Serializer[Any]):
    count = serializers.IntegerField()
    width_mm = serializers.FloatField(help_text="Of each, at the edge.")
    length_mm = serializers.FloatField()


class BuildCheckSerializer(serializers.Serializer[Any]):
    height_mm = serializers.FloatField()
    deviation_mm = serializers.FloatField(help_text="Above 0 where the pot is too wide.")
    action = serializers.ChoiceField(choices=get_args(Action))
    darts = DartsSerializer(allow_null=True, help_text="None unless darts are what helps.")
    message = serializers.CharField()


class BuildCheckResponseSerializer(serializers.Serializer[Any]):
    """Each measurement judged, in the order that they were sent."""

    checks = BuildCheckSerializer(many=True)
