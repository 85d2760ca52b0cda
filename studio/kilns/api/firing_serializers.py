"""What `POST /api/compute/firing/` is sent and what it answers."""

import re
from typing import Any

from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from studio.kilns.cones import CONE_TYPES, DEFAULT_TYPE
from studio.kilns.heat.cooling import UNLOAD_BELOW_C
from studio.kilns.heat.program import LEAST_C, MOST_C, MOST_SEGMENTS
from studio.kilns.refusal import MESSAGES
from studio.room.cones import NAMES
from studio.web.api_fields import NumberField

from .programs import SegmentSerializer

MOST_CURVES, MOST_READINGS, MOST_CONES, MOST_METERED = 30, 300, 12, 100


def _between(least: float, most: float, **kwargs: Any) -> NumberField:
    message = format_lazy(
        _("Give a figure between {least} and {most}."), least=f"{least:g}", most=f"{most:g}"
    )
    errors: dict[str, Any] = {"min_value": message, "max_value": message}
    return NumberField(min_value=least, max_value=most, error_messages=errors, **kwargs)


@extend_schema_field({"type": "string", "pattern": f"^({'|'.join(map(re.escape, NAMES))})$"})
class ConeField(serializers.ChoiceField):
    """A cone by its name: 6 and 06 are two, so a number is none."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(choices=NAMES, **kwargs)
        self.error_messages["invalid_choice"] = _("Name a cone as a word, such as “06” or “5.5”.")

    def to_internal_value(self, data: Any) -> str:
        if not isinstance(data, str):
            self.fail("invalid_choice")
        return str(super().to_internal_value(data))


def _kind(**kwargs: Any) -> serializers.ChoiceField:
    errors: dict[str, Any] = {"invalid_choice": _(MESSAGES["unknown_cone_type"])}
    return serializers.ChoiceField(choices=CONE_TYPES, error_messages=errors, **kwargs)


class WareSerializer(serializers.Serializer[Any]):
    """What is fired; whatever is given is judged."""

    thickest_mm = _between(1, 300, required=False, help_text="Thickest wall of the load.")
    unfired = serializers.BooleanField(
        default=True, help_text="Greenware, which may be damp inside; false after a bisque."
    )
    body_cone = ConeField(required=False, help_text="The hottest that the clay body is made for.")
    glaze_cone = ConeField(required=False, help_text="The hottest that the glazes are made for.")


class CoolingReadingSerializer(serializers.Serializer[Any]):
    at_h = _between(0, 2000, help_text="Hours since any fixed moment after the shut-off.")
    temp_c = _between(LEAST_C, MOST_C)


class CurveSerializer(serializers.Serializer[Any]):
    readings: serializers.ListSerializer[Any] = serializers.ListSerializer(
        child=CoolingReadingSerializer(), max_length=MOST_READINGS
    )


class CoolingSerializer(serializers.Serializer[Any]):
    """How the kiln cools by itself: its time constant, or what was logged after shut-offs."""

    room_c = _between(LEAST_C, 60)
    unload_below_c = _between(LEAST_C, 300, default=UNLOAD_BELOW_C)
    time_constant_h = _between(0.2, 200, required=False)
    logged: serializers.ListSerializer[Any] = serializers.ListSerializer(
        child=CurveSerializer(),
        required=False,
        max_length=MOST_CURVES,
        help_text="One for each firing. Without these and without a constant, 7 h are taken.",
    )


class LiningSerializer(serializers.Serializer[Any]):
    area_m2 = _between(0.05, 100, help_text="Mean of inside and outside, with lid and floor.")
    thickness_mm = _between(10, 1000)
    conductivity_w_per_m_k = _between(0.01, 10)
    density_kg_per_m3 = _between(30, 5000)
    heat_capacity_j_per_kg_k = _between(300, 3000)


class FiredMassSerializer(serializers.Serializer[Any]):
    mass_kg = _between(0, 10000, help_text="Ware, shelves and posts.")
    heat_capacity_j_per_kg_k = _between(300, 3000)


class EnergyRequestSerializer(serializers.Serializer[Any]):
    """Nothing is assumed about a kiln: every figure is given or no energy is answered."""

    wall = LiningSerializer()
    load = FiredMassSerializer()
    power_kw = _between(0.1, 1000)
    metered_over_computed = serializers.ListField(
        child=_between(0.2, 5),
        required=False,
        max_length=MOST_METERED,
        help_text="Of earlier firings of this kiln: kWh metered by kWh computed.",
    )
    price_per_kwh = _between(0, 1000, required=False)


class WitnessSerializer(serializers.Serializer[Any]):
    cone = ConeField()
    bent = _between(0, 1, help_text="0 upright, 1 its tip level with its base.")


class FiringRequestSerializer(serializers.Serializer[Any]):
    start_c = NumberField()
    segments: serializers.ListSerializer[Any] = serializers.ListSerializer(
        child=SegmentSerializer(),
        max_length=MOST_SEGMENTS,
        error_messages={
            "max_length": format_lazy(
                _("A program may have at most {most} segments."), most=MOST_SEGMENTS
            )
        },
    )
    cone_type = _kind(default=DEFAULT_TYPE)
    ware = WareSerializer(required=False)
    cooling = CoolingSerializer(required=False)
    energy = EnergyRequestSerializer(required=False)
    witness: serializers.ListSerializer[Any] = serializers.ListSerializer(
        child=WitnessSerializer(),
        required=False,
        max_length=MOST_CONES,
        help_text="How witness cones of this kind stood after such a firing.",
    )


class SpanSerializer(serializers.Serializer[Any]):
    start_h = serializers.FloatField()
    end_h = serializers.FloatField(help_text="Its hold included.")


class ChartSerializer(serializers.Serializer[Any]):
    """What the temperatures are to be read by."""

    edition = serializers.CharField()
    cone_type = _kind()
    rate_c_per_h = serializers.FloatField(
        allow_null=True, help_text="Mean over the last 100 °C of heating; null if it never heats."
    )


class CooledSerializer(serializers.Serializer[Any]):
    time_constant_h = serializers.FloatField()
    firings = serializers.IntegerField(
        help_text="Logged firings that it rests on; 0 where it was given or is the stated 7 h."
    )
    spread_h = serializers.FloatField(allow_null=True)
    cooling_h = serializers.FloatField(help_text="From the program's end to unload_below_c.")
    unload_h = serializers.FloatField(help_text="From the start until it may be unloaded.")


class EnergySerializer(serializers.Serializer[Any]):
    load_kwh = serializers.FloatField()
    wall_kwh = serializers.FloatField(help_text="Stored in the wall and lost through it.")
    likely_kwh = serializers.FloatField()
    low_kwh = serializers.FloatField()
    high_kwh = serializers.FloatField()
    uncertainty_pct = serializers.FloatField()
    firings = serializers.IntegerField()
    cost = serializers.FloatField(allow_null=True)
    low_cost = serializers.FloatField(allow_null=True)
    high_cost = serializers.FloatField(allow_null=True)


class FiringWarningSerializer(serializers.Serializer[Any]):
    code = serializers.CharField()
    message = serializers.CharField()
    source = serializers.CharField()  # type: ignore[assignment]


class FiringResponseSerializer(serializers.Serializer[Any]):
    """The witness cone decides, whatever is answered here."""

    duration_h = serializers.FloatField(help_text="Without cooling.")
    peak_c = serializers.FloatField()
    cone = serializers.CharField(
        allow_null=True, help_text="The hottest one down, within 2 °C; null below the chart."
    )
    cone_position = serializers.FloatField(help_text="How far the next one is bent, 0 to 1.")
    end_point_c_at_60 = serializers.FloatField(
        allow_null=True,
        help_text="Peak of the plain rise at 60 °C/h that bends the cones as far.",
    )
    holds_add_c = serializers.FloatField(
        help_text="Of it, from holds and from cooling by the program."
    )
    climb_cone = serializers.CharField(
        allow_null=True, help_text="What goes down without that part."
    )
    chart = ChartSerializer()
    segments = SpanSerializer(many=True)
    cooling = CooledSerializer(allow_null=True)
    energy = EnergySerializer(allow_null=True)
    witness_offset_c = serializers.FloatField(
        allow_null=True, help_text="By how much the kiln fired hotter than computed."
    )
    warnings = FiringWarningSerializer(many=True)
