"""What the compute API of packing is sent and answers. Lengths in mm."""

from typing import Any, Final, get_args

from django.utils.translation import gettext_lazy as _
from rest_framework import serializers

from planning.api.compute_request import OutlineSerializer
from studio.kilns import refusal
from studio.kilns.packing.inputs import SHELF_SHAPES
from studio.kilns.packing.load import Reason
from studio.kilns.services.loads import MOST_POTS
from studio.web.api_fields import NumberField

ACROSS: Final = {"round": "diameter_mm", "octagon": "across_mm"}
LEAST_MM = 1.0
"""Nothing in a kiln is smaller, and a slipped unit shows."""

MOST_OF_A_KIND = 40


class ShelfSerializer(serializers.Serializer[Any]):
    """A round shelf has a diameter, an octagon the distance across its flats, the others a width
    and a depth."""

    shape = serializers.ChoiceField(
        choices=SHELF_SHAPES,
        error_messages={"invalid_choice": _(refusal.MESSAGES["unknown_shelf"])},
    )
    diameter_mm = NumberField(required=False, min_value=LEAST_MM, help_text="Of a round shelf.")
    across_mm = NumberField(
        required=False, min_value=LEAST_MM, help_text="Across the flats of an octagon."
    )
    width_mm = NumberField(required=False, min_value=LEAST_MM)
    depth_mm = NumberField(required=False, min_value=LEAST_MM)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        one = ACROSS.get(attrs["shape"])
        needed = ("width_mm", "depth_mm") if one is None else (one,)
        missing = [name for name in needed if name not in attrs]
        if missing:
            raise serializers.ValidationError(
                {name: _("Give this measure of the shelf.") for name in missing}
            )
        width, depth = attrs[needed[0]], attrs[needed[-1]]
        return {"shape": attrs["shape"], "width_mm": width, "depth_mm": depth}


class SpotSerializer(serializers.Serializer[Any]):
    x_mm = NumberField(help_text="To the right of the shelf's centre.")
    y_mm = NumberField(help_text="To the back of it.")
    diameter_mm = NumberField(min_value=LEAST_MM)


class PieceOutlineSerializer(OutlineSerializer):
    """Without a depth ratio: the piece's front and depth say it."""

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        with_depth = attrs if attrs["shape"] == "rounded_square" else {"depth_ratio": 1.0, **attrs}
        asked: dict[str, Any] = super().validate(with_depth)
        if asked["shape"] == "rounded_square" and "corner_ratio" not in asked:
            raise serializers.ValidationError(
                {"corner_ratio": _("Say how round the corners are, from 0 to 1.")}
            )
        return {name: value for name, value in asked.items() if name != "depth_ratio"}


class PackedPieceSerializer(serializers.Serializer[Any]):
    id = serializers.CharField(max_length=100)
    outline = PieceOutlineSerializer()
    front_mm = NumberField(min_value=LEAST_MM)
    depth_mm = NumberField(min_value=LEAST_MM, help_text="Overrides the outline's depth ratio.")
    height_mm = NumberField(min_value=LEAST_MM)


class PackingRequestSerializer(serializers.Serializer[Any]):
    """A kiln's inside and its pots, the most urgent first."""

    shelf = ShelfSerializer()
    usable_height_mm = NumberField()
    shelf_thickness_mm = NumberField()
    posts_mm = serializers.ListField(child=NumberField(), max_length=MOST_OF_A_KIND)
    post_footprints: serializers.ListSerializer[Any] = serializers.ListSerializer(
        child=SpotSerializer(), max_length=MOST_OF_A_KIND, default=list
    )
    reserved: serializers.ListSerializer[Any] = serializers.ListSerializer(
        child=SpotSerializer(), max_length=MOST_OF_A_KIND, default=list
    )
    clearance_mm = NumberField(help_text="Between pots, and to posts and reserved places.")
    headroom_mm = NumberField(help_text="Above each pot.")
    pieces: serializers.ListSerializer[Any] = serializers.ListSerializer(
        child=PackedPieceSerializer(), max_length=MOST_POTS
    )


class PlacedSerializer(serializers.Serializer[Any]):
    """Of the outline's centre: x to the right, y to the back of the shelf's; turned
    counter-clockwise."""

    id = serializers.CharField()
    x_mm = serializers.FloatField()
    y_mm = serializers.FloatField()
    turn_deg = serializers.FloatField()


class PackedLayerSerializer(serializers.Serializer[Any]):
    post_mm = serializers.FloatField(allow_null=True, help_text="Null where nothing stands above.")
    placements = PlacedSerializer(many=True)


class UnplacedSerializer(serializers.Serializer[Any]):
    id = serializers.CharField()
    reason = serializers.CharField()
    reason_code = serializers.ChoiceField(choices=get_args(Reason))


class PackingResponseSerializer(serializers.Serializer[Any]):
    layers = PackedLayerSerializer(many=True, help_text="From the bottom up.")
    unplaced = UnplacedSerializer(many=True)
    area_filled = serializers.FloatField(
        help_text="Pots and half a clearance around them ÷ shelves in use and half a clearance "
        "around them, less posts and reserved places."
    )
    bound = serializers.IntegerField(
        help_text="So many layers at least does any layout of the placed pots need."
    )
