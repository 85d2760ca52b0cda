"""`POST /api/compute/plan/` and `build-check/`: what a plan comes to and a pot's way off it,
kept nowhere."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from planning.bench.checking import Tolerance, build_check
from planning.bench.measured import Measured
from planning.bench.sentences import MeasuredRefused
from planning.geometry.form import Form, form
from planning.geometry.inputs import Body, Outline, PlanInputs, Point
from planning.geometry.plan import figures
from planning.geometry.refusal import FormRefused, Trouble
from planning.plans.answer import Answer, answer_of, check_answer, rows_answer
from planning.plans.wording import refusal_problems, refused_in, said_problems
from planning.rows.choices import Choices
from planning.rows.own_weight import own_weight
from planning.rows.rows import row_list
from studio.errors import Problem, Refused
from studio.people.access import person_of
from studio.units.scales import Metric
from studio.web.slots import Slots

from .compute_request import BuildCheckRequestSerializer, PlanRequestSerializer
from .compute_response import BuildCheckResponseSerializer, PlanResponseSerializer


class _Compute(APIView):
    """Nothing is kept, so a person of any studio or none may ask."""

    only_computes = True
    # For all that is computed here together. The worst form that is let through takes a second;
    # half of a process's threads stay free.
    slots = Slots(each=2, together=4)


class PlanCompute(_Compute):
    """The form, clay, sizes and rows of a pot from its drawing."""

    @extend_schema(request=PlanRequestSerializer, responses={200: PlanResponseSerializer})
    def post(self, request: Request) -> Response:
        """Compute a plan: volumes, masses, sizes, rows, rests, height lines, what to look at."""
        sent = request.data  # read first: a slow sender holds no slot
        with self.slots.taken_by(person_of(request).pk):
            return Response(_computed(sent))


class BuildCheckCompute(_Compute):
    """A pot under way against its plan."""

    @extend_schema(
        request=BuildCheckRequestSerializer, responses={200: BuildCheckResponseSerializer}
    )
    def post(self, request: Request) -> Response:
        """Judge measurements of a pot under way: how far it is off, and what still helps."""
        sent = request.data
        with self.slots.taken_by(person_of(request).pk):
            return Response({"checks": _checked(sent)})


def _computed(data: Any) -> Answer:
    """Raises `ValidationError` or `Refused` at the fields of the request."""
    request = PlanRequestSerializer(data=data)
    request.is_valid(raise_exception=True)
    asked = request.validated_data
    inputs = _inputs(asked)
    made = _form(inputs, asked)
    answer = answer_of(figures(inputs, made))
    if "coil_mm" not in asked:
        return answer
    rows = _rows(made, asked)
    return answer | rows | {"warnings": answer["warnings"] + rows["warnings"]}


def _rows(made: Form, asked: dict[str, Any]) -> Answer:
    per_blend = {key: asked[key] for key in ("rows_per_blend",) if key in asked}
    density = asked["body"]["wet_density_g_per_cm3"]
    with refused_in(Metric()):
        listed = row_list(made, Choices(asked["coil_mm"], density, **per_blend))
    return rows_answer(listed, own_weight(made, listed, density))


def _checked(data: Any) -> list[Answer]:
    """Raises `ValidationError` or `Refused` at the fields of the request."""
    request = BuildCheckRequestSerializer(data=data)
    request.is_valid(raise_exception=True)
    asked = request.validated_data["plan"]
    made = _form(_inputs(asked), asked, within="plan.")
    given = {"mm": asked.get("tolerance_mm"), "pct": asked.get("tolerance_pct")}
    allowed = replace(Tolerance(), **{key: n for key, n in given.items() if n is not None})
    measured = [Measured(**each) for each in request.validated_data["measured"]]
    try:
        checks = build_check(made, asked["body"]["drying_shrinkage_pct"], measured, allowed)
    except MeasuredRefused as refused:
        problems = said_problems(refused.problems, Metric())
        raise Refused.all_of([_of_the_plan(each) for each in problems]) from None
    return [check_answer(each) for each in checks]


def _of_the_plan(problem: Problem) -> Problem:
    """The tolerances of a build check are sent with the plan."""
    if problem.field.startswith("tolerance_"):
        return replace(problem, field=f"plan.{problem.field}")
    return problem


def _form(inputs: PlanInputs, asked: dict[str, Any], within: str = "") -> Form:
    try:
        return form(inputs)
    except FormRefused as refused:
        troubles = [
            replace(each, path=within + each.path) for each in _as_asked(refused.problems, asked)
        ]
        raise Refused.all_of(refusal_problems(troubles, Metric())) from None


def _inputs(asked: dict[str, Any]) -> PlanInputs:
    side = asked.get("side_profile")
    spacing = {key: asked[key] for key in ("line_spacing_mm",) if key in asked}
    return PlanInputs(
        profile=_points(asked["profile"], "left_mm", "right_mm"),
        side_profile=None if side is None else _points(side, "front_mm", "back_mm"),
        outline=Outline(**asked["outline"]),
        drawn_as=asked["drawn_as"],
        wall=asked["wall_mm"],
        base_mm=asked["base_mm"],
        corner_coil_mm=asked["corner_coil_mm"],
        working_allowance_pct=asked["working_allowance_pct"],
        body=Body(**asked["body"]),
        rim_outline=Outline(**rim) if (rim := asked.get("rim_outline")) else None,
        **spacing,
    )


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
