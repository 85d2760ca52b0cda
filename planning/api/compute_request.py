"""What is sent to the compute API of a plan: shapes and numbers, before anything is computed."""

from typing import Any, get_args

from django.utils.translation import gettext_lazy as _
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from planning.bench import sentences
from planning.bench.measured import MOST_MEASURED, STATES, Measured
from planning.geometry import refusal
from planning.geometry.inputs import Body, Outline, PlanInputs, Point, Shape, Wall
from planning.geometry.tolerances import LEAST_POINTS, MOST_OUTLINE_POINTS, MOST_POINTS
from planning.rows.choices import MOST_ROWS_PER_BLEND
from studio.web.api_fields import NumberField

OutlinePoints = tuple[tuple[float, float], ...]


class _PointSerializer(serializers.Serializer[Point]):
    """Half-widths at a height, or one radius for both sides."""

    sides = ("left_mm", "right_mm")
    height_mm = NumberField()
    radius_mm = NumberField(required=False)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        missing = [side for side in self.sides if side not in attrs]
        if "radius_mm" in attrs:
            if len(missing) < len(self.sides):
                raise serializers.ValidationError(
                    {"radius_mm": _("Give a radius or two half-widths, not both.")}
                )
        elif missing:
            raise serializers.ValidationError(
                {side: _("Give both half-widths, or radius_mm.") for side in missing}
            )
        return attrs


class FrontPointSerializer(_PointSerializer):
    left_mm = NumberField(required=False)
    right_mm = NumberField(required=False)


class SidePointSerializer(_PointSerializer):
    sides = ("front_mm", "back_mm")
    front_mm = NumberField(required=False)
    back_mm = NumberField(required=False)


@extend_schema_field(
    {
        "type": "array",
        "maxItems": MOST_OUTLINE_POINTS,
        "items": {
            "type": "array",
            "items": {"type": "number"},
            "minItems": 2,
            "maxItems": 2,
        },
    }
)
class OutlinePointsField(serializers.Field[OutlinePoints, Any, Any, Any]):
    """Points [x, y] once around an outline."""

    def to_internal_value(self, data: Any) -> OutlinePoints:
        if not isinstance(data, list):
            raise serializers.ValidationError(_("Give a list of points [x, y]."))
        # Before they are read: so much work is bounded first.
        if len(data) > MOST_OUTLINE_POINTS:
            sentence = _(refusal.MESSAGES["outline_many_points"])
            raise serializers.ValidationError(sentence % {"most": MOST_OUTLINE_POINTS})
        points: list[tuple[float, float]] = []
        wrong: dict[str, Any] = {}
        for place, each in enumerate(data):
            try:
                points.append(_pair(each))
            except serializers.ValidationError as refused:
                wrong[str(place)] = refused.detail
        if wrong:
            raise serializers.ValidationError(wrong)
        return tuple(points)


def _pair(data: Any) -> tuple[float, float]:
    if not isinstance(data, list) or len(data) != 2:  # noqa: PLR2004 -- x and y
        raise serializers.ValidationError(_("A point is two numbers, [x, y]."))
    number = NumberField()
    return number.run_validation(data[0]), number.run_validation(data[1])


NEEDED_BY_SHAPE = {
    "oval": ("depth_ratio", _("Say how deep the oval is for its width.")),
    "leaf": ("depth_ratio", _("Say how deep the leaf is for its width.")),
    "rounded_square": ("corner_ratio", _("Say how round the corners are, from 0 to 1.")),
    "traced": ("points", _("Give the points of the outline.")),
}


USED_BY_SHAPE = {"rounded_square": ("corner_ratio", "depth_ratio")} | {
    shape: (name,) for shape, (name, _say) in NEEDED_BY_SHAPE.items() if name != "corner_ratio"
}


OUTLINE_SHAPES: tuple[Shape, ...] = get_args(Shape)


class OutlineSerializer(serializers.Serializer[Outline]):
    shape = serializers.ChoiceField(
        choices=OUTLINE_SHAPES,
        # Without the word that came: it may be anything.
        error_messages={"invalid_choice": _(refusal.MESSAGES["unknown_outline"])},
    )
    depth_ratio = NumberField(
        required=False, help_text="Depth ÷ width, for an oval or a leaf; 1 for a rounded square."
    )
    corner_ratio = NumberField(
        required=False, help_text="Corner radius ÷ half side, for a rounded square."
    )
    points = OutlinePointsField(
        required=False, help_text="Once around a traced outline, x to the right, y to the back."
    )

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        needed = NEEDED_BY_SHAPE.get(attrs["shape"])
        if needed is not None and needed[0] not in attrs:
            raise serializers.ValidationError({needed[0]: needed[1]})
        used = ("shape", *USED_BY_SHAPE.get(attrs["shape"], ()))
        return {name: value for name, value in attrs.items() if name in used}


class BodySerializer(serializers.Serializer[Body]):
    wet_density_g_per_cm3 = NumberField()
    water_pct_wet_basis = NumberField()
    drying_shrinkage_pct = NumberField()
    total_shrinkage_pct = NumberField()
    loss_on_ignition_pct = NumberField()


class _TaperSerializer(serializers.Serializer[Wall]):
    base = NumberField()
    rim = NumberField()


@extend_schema_field(
    {
        "oneOf": [
            {"type": "number"},
            {
                "type": "object",
                "properties": {"base": {"type": "number"}, "rim": {"type": "number"}},
                "required": ["base", "rim"],
            },
        ]
    }
)
class WallField(serializers.Field[Wall, Any, Any, Any]):
    """One thickness, or one at the base and one at the rim."""

    def to_internal_value(self, data: Any) -> Wall:
        if not isinstance(data, dict):
            thickness = NumberField().run_validation(data)
            return Wall(thickness, thickness)
        taper = _TaperSerializer(data=data)
        taper.is_valid(raise_exception=True)
        return Wall(taper.validated_data["base"], taper.validated_data["rim"])


class PlanRequestSerializer(serializers.Serializer[PlanInputs]):
    """A plan as it was drawn. Lengths in millimetres, from the base edge to the rim."""

    profile: serializers.BaseSerializer[Any] = serializers.ListSerializer(
        child=FrontPointSerializer(), min_length=LEAST_POINTS, max_length=MOST_POINTS
    )
    side_profile: serializers.BaseSerializer[Any] = serializers.ListSerializer(
        child=SidePointSerializer(),
        required=False,
        min_length=LEAST_POINTS,
        max_length=MOST_POINTS,
    )
    outline = OutlineSerializer()
    rim_outline = OutlineSerializer(
        required=False, help_text="The outline changes evenly with height to this one at the rim."
    )
    drawn_as = serializers.ChoiceField(
        choices=["wet", "fired"],
        error_messages={"invalid_choice": _(refusal.MESSAGES["unknown_drawn_as"])},
    )
    wall_mm = WallField()
    base_mm = NumberField()
    corner_coil_mm = NumberField(help_text="Diameter of the coil in the base joint, 0 for none.")
    working_allowance_pct = NumberField()
    line_spacing_mm = NumberField(required=False, help_text="Between height lines; 20 if not said.")
    coil_mm = NumberField(
        required=False, help_text="Diameter of the wall's coils. Without it no rows are answered."
    )
    rows_per_blend = serializers.IntegerField(
        required=False, min_value=1, max_value=MOST_ROWS_PER_BLEND, help_text="2 if not said."
    )
    tolerance_mm = NumberField(
        required=False, min_value=0, help_text="For build checks; 5 if not said."
    )
    tolerance_pct = NumberField(
        required=False, min_value=0, help_text="For build checks, of the width; 3 if not said."
    )
    body = BodySerializer()


class MeasuredSerializer(serializers.Serializer[Measured]):
    """One place on the pot: the width, the depth, the way round, or several of them."""

    height_mm = NumberField(help_text="Above the table.")
    front_mm = NumberField(required=False)
    depth_mm = NumberField(required=False)
    perimeter_mm = NumberField(required=False, help_text="On the outer surface.")
    state = serializers.ChoiceField(
        choices=STATES,
        error_messages={"invalid_choice": _(sentences.MESSAGES["unknown_state"])},
    )


class BuildCheckRequestSerializer(serializers.Serializer[Any]):
    plan = PlanRequestSerializer()
    measured: serializers.BaseSerializer[Any] = serializers.ListSerializer(
        child=MeasuredSerializer(), min_length=1, max_length=MOST_MEASURED
    )
