"""`POST /api/compute/plan/`: what a plan comes to, kept nowhere."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from django.utils.translation import gettext_lazy as _
from drf_spectacular.utils import extend_schema, extend_schema_field
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from planning.geometry import refusal
from planning.geometry.inputs import Body, Outline, PlanInputs, Point, Wall
from planning.geometry.plan import plan
from planning.geometry.refusal import FormRefused, Trouble
from planning.geometry.tolerances import LEAST_POINTS, MOST_POINTS
from planning.plans.answer import Answer, answer_of
from planning.plans.wording import refusal_problems
from studio.errors import Refused
from studio.people.access import person_of
from studio.units.scales import Metric
from studio.web.api_fields import NumberField
from studio.web.slots import Slots


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


class OutlineSerializer(serializers.Serializer[Outline]):
    shape = serializers.ChoiceField(
        choices=["round", "oval"],
        # Without the word that came: it may be anything.
        error_messages={"invalid_choice": _(refusal.MESSAGES["unknown_outline"])},
    )
    depth_ratio = NumberField(required=False, help_text="Depth ÷ width, for an oval.")

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        if attrs["shape"] == "oval" and "depth_ratio" not in attrs:
            raise serializers.ValidationError(
                {"depth_ratio": _("Say how deep the oval is for its width.")}
            )
        return attrs


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
    drawn_as = serializers.ChoiceField(
        choices=["wet", "fired"],
        error_messages={"invalid_choice": _(refusal.MESSAGES["unknown_drawn_as"])},
    )
    wall_mm = WallField()
    base_mm = NumberField()
    corner_coil_mm = NumberField(help_text="Diameter of the coil in the base joint, 0 for none.")
    working_allowance_pct = NumberField()
    line_spacing_mm = NumberField(required=False, help_text="Between height lines; 20 if not said.")
    coil_mm = NumberField(required=False, min_value=0, help_text="Not used yet.")
    rows_per_blend = NumberField(required=False, min_value=1, help_text="Not used yet.")
    tolerance_mm = NumberField(required=False, min_value=0, help_text="Not used yet.")
    tolerance_pct = NumberField(required=False, min_value=0, help_text="Not used yet.")
    body = BodySerializer()

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        if "rim_outline" in self.initial_data:
            raise serializers.ValidationError(
                {"rim_outline": _("A second outline at the rim can't be computed. Leave it out.")}
            )
        return attrs


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
    height_lines = HeightLineSerializer(many=True)
    asymmetry = AsymmetrySerializer(help_text="Left against right, as drawn.")
    silhouette = serializers.ListField(
        child=serializers.ListField(child=serializers.FloatField(), min_length=3, max_length=3),
        help_text="Height, left and right of the wet outer form.",
    )
    warnings = WarningSerializer(many=True)


class PlanCompute(APIView):
    """The form, clay and sizes of a pot from its drawing. Nothing is kept."""

    only_computes = True
    # The worst form that is let through takes a second; half of a process's threads stay free.
    slots = Slots(each=2, together=4)

    @extend_schema(request=PlanRequestSerializer, responses={200: PlanResponseSerializer})
    def post(self, request: Request) -> Response:
        """Compute a plan: volumes, masses, sizes, height lines and what to look at."""
        sent = request.data  # read first: a slow sender holds no slot
        with self.slots.taken_by(person_of(request).pk):
            return Response(_computed(sent))


def _computed(data: Any) -> Answer:
    """Raises `ValidationError` or `Refused` at the fields of the request."""
    asked = PlanRequestSerializer(data=data)
    asked.is_valid(raise_exception=True)
    try:
        figures = plan(_inputs(asked.validated_data))
    except FormRefused as refused:
        troubles = _as_asked(refused.problems, asked.validated_data)
        raise Refused.all_of(refusal_problems(troubles, Metric())) from None
    return answer_of(figures)


def _inputs(asked: dict[str, Any]) -> PlanInputs:
    side = asked.get("side_profile")
    spacing = {key: asked[key] for key in ("line_spacing_mm",) if key in asked}
    return PlanInputs(
        profile=_points(asked["profile"], "left_mm", "right_mm"),
        side_profile=None if side is None else _points(side, "front_mm", "back_mm"),
        outline=_outline(asked["outline"]),
        drawn_as=asked["drawn_as"],
        wall=asked["wall_mm"],
        base_mm=asked["base_mm"],
        corner_coil_mm=asked["corner_coil_mm"],
        working_allowance_pct=asked["working_allowance_pct"],
        body=Body(**asked["body"]),
        **spacing,
    )


def _outline(asked: dict[str, Any]) -> Outline:
    if asked["shape"] == "round":
        return Outline("round")
    return Outline("oval", asked["depth_ratio"])


def _points(rows: list[dict[str, float]], left: str, right: str) -> tuple[Point, ...]:
    return tuple(
        Point(
            row["height_mm"],
            row.get("radius_mm", row.get(left, 0.0)),
            row.get("radius_mm", row.get(right, 0.0)),
        )
        for row in rows
    )


def _as_asked(troubles: Iterable[Trouble], asked: dict[str, Any]) -> list[Trouble]:
    """Each trouble at the field that was sent: one radius, one wall. What then repeats is left."""
    sent: dict[tuple[str, str], Trouble] = {}
    for each in troubles:
        name, _dot, rest = each.path.partition(".")
        path = each.path
        if name in ("profile", "side_profile") and rest:
            place, _dot, field = rest.partition(".")
            if field != "height_mm" and "radius_mm" in asked[name][int(place)]:
                path = f"{name}.{place}.radius_mm"
        elif name == "wall_mm" and asked["wall_mm"].base_mm == asked["wall_mm"].rim_mm:
            path = "wall_mm"
        sent.setdefault((path, each.code), replace(each, path=path))
    return list(sent.values())
