"""`POST /api/compute/firing/`: what a firing program does, kept nowhere."""

from dataclasses import asdict, replace
from typing import Any

from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from studio.kilns.cones import EDITION
from studio.kilns.heat.advice import Falls, Ware, load_cautions
from studio.kilns.heat.cautions import Caution
from studio.kilns.heat.cooling import STATED, Cooling, cooling_h, fitted_cooling
from studio.kilns.heat.energy import Energy, Load, Wall, energy
from studio.kilns.heat.program import Segment
from studio.kilns.heat.reached import Firing, firing
from studio.kilns.heat.witness import Witness, offset_c
from studio.kilns.refusal import KilnRefused
from studio.kilns.selectors.programs import heat_segments
from studio.kilns.wording import caution_sentence, refused
from studio.people.access import person_of
from studio.web.slots import Slots

from .firing_serializers import FiringRequestSerializer, FiringResponseSerializer

Answer = dict[str, Any]
# The names of the pure module by those of the request.
_COOLING = {"to_c": "unload_below_c"}


class FiringCompute(APIView):
    """Nothing is kept, so a person of any studio or none may ask."""

    only_computes = True
    slots = Slots(each=2, together=4)

    @extend_schema(request=FiringRequestSerializer, responses={200: FiringResponseSerializer})
    def post(self, request: Request) -> Response:
        """Compute a firing: hours, the cone by heat work, and on request cooling and energy."""
        sent = FiringRequestSerializer(data=request.data)  # read first: a slow sender holds no slot
        sent.is_valid(raise_exception=True)
        with self.slots.taken_by(person_of(request).pk):
            return Response(_computed(sent.validated_data))


def _computed(asked: Answer) -> Answer:
    """Raises `Refused` at the fields of the request."""
    start_c, segments = asked["start_c"], heat_segments(asked["segments"])
    try:
        fired = firing(start_c, segments, asked["cone_type"])
    except KilnRefused as wrong:
        raise refused(wrong.problems) from None
    cooled = _cooled(fired, segments, asked.get("cooling"))
    used = _energy(start_c, segments, asked.get("energy"))
    said = [*fired.cautions, *_of_the_ware(fired, asked, segments, cooled)]
    said += used.cautions if used else ()
    stood = [Witness(**each) for each in asked.get("witness", ())]
    return {
        "duration_h": fired.timing.duration_h,
        "peak_c": fired.timing.peak_c,
        "cone": fired.cone,
        "cone_position": fired.cone_position,
        "end_point_c_at_60": fired.end_point_c_at_60,
        "holds_add_c": fired.holds_add_c,
        "climb_cone": fired.cone_without_holds,
        "chart": {
            "edition": EDITION,
            "cone_type": fired.cone_type,
            "rate_c_per_h": fired.rate_c_per_h,
        },
        "segments": [asdict(each) for each in fired.timing.spans],
        "cooling": cooled,
        "energy": _energy_answer(used, asked),
        "witness_offset_c": offset_c(fired, stood),
        "warnings": [
            {"code": each.code, "message": caution_sentence(each), "source": each.source}
            for each in said
        ],
    }


def _cooled(fired: Firing, segments: tuple[Segment, ...], asked: Answer | None) -> Answer | None:
    if asked is None:
        return None
    known = STATED
    if "time_constant_h" in asked:
        known = Cooling(asked["time_constant_h"], 0)
    elif logged := asked.get("logged"):
        curves = [[(r["at_h"], r["temp_c"]) for r in each["readings"]] for each in logged]
        known = fitted_cooling(curves, asked["room_c"])
    try:
        hours = cooling_h(
            segments[-1].target_c, asked["unload_below_c"], asked["room_c"], known.time_constant_h
        )
    except KilnRefused as wrong:
        raise refused(
            replace(each, path=f"cooling.{_COOLING.get(each.path, each.path)}")
            for each in wrong.problems
        ) from None
    unload = {"cooling_h": hours, "unload_h": fired.timing.duration_h + hours}
    return asdict(known) | unload


def _of_the_ware(
    fired: Firing, asked: Answer, segments: tuple[Segment, ...], cooled: Answer | None
) -> tuple[Caution, ...]:
    falls = None
    if cooled is not None:
        falls = Falls(cooled["time_constant_h"], asked["cooling"]["room_c"])
    ware = Ware(**asked.get("ware", {}))
    return load_cautions(fired, asked["start_c"], segments, ware, falls)


def _energy(start_c: float, segments: tuple[Segment, ...], asked: Answer | None) -> Energy | None:
    if asked is None:
        return None
    return energy(
        start_c,
        segments,
        wall=Wall(**asked["wall"]),
        load=Load(**asked["load"]),
        power_kw=asked["power_kw"],
        metered_over_computed=asked.get("metered_over_computed", ()),
    )


def _energy_answer(used: Energy | None, asked: Answer) -> Answer | None:
    if used is None:
        return None
    price = asked["energy"].get("price_per_kwh")
    kwh = {"likely": used.likely_kwh, "low": used.low_kwh, "high": used.high_kwh}
    names = {"likely": "cost", "low": "low_cost", "high": "high_cost"}
    return {
        "load_kwh": used.load_kwh,
        "wall_kwh": used.wall_kwh,
        "uncertainty_pct": used.uncertainty_pct,
        "firings": used.firings,
        **{f"{name}_kwh": value for name, value in kwh.items()},
        **{names[name]: None if price is None else value * price for name, value in kwh.items()},
    }
