"""A plan in space: to turn on the page, and as a solid for whoever prints a gauge of it."""

from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from planning.models import PlanVersion
from planning.plans.solid import Solid, solid_of
from planning.sheets.solid import solid_stl as stl_file
from studio.errors import Refused
from studio.people.access import STAFF, only, person_of, studio_of
from studio.people.models import Role
from studio.web.slots import Full, Slots

SIZES = ("wet", "fired")

# A file takes half a second, of the oddest form three; half of a process's threads stay free.
FILES = Slots(each=1, together=2)


@only(*STAFF, Role.STUDENT)
@require_safe
def solid(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The pot to be turned by hand, and its files."""
    plan = _plan(request, pk)
    context: dict[str, Any] = {"plan": plan, "piece": plan.piece}
    try:
        made = solid_of(plan, studio_of(person_of(request)))
    except Refused as refusal:
        context["problems"] = refusal.problems
    else:
        wet_mm = made.made.surface.height + _foot_mm(made)
        shrinks = made.inputs.body.total_shrinkage_pct
        context |= {
            "still": made.still,
            "wet_mm": wet_mm,
            "fired_mm": wet_mm * (1 - shrinks / 100),
        }
    return render(request, "planning/solid.html", context)


@only(*STAFF, Role.STUDENT)
@require_safe
def solid_shape(request: HttpRequest, pk: UUID) -> JsonResponse:
    """What the page's script draws: `planning.pictures.turned.form_shape`."""
    made = solid_of(_plan(request, pk), studio_of(person_of(request)))
    return JsonResponse(made.shape, json_dumps_params={"separators": (",", ":")})


@only(*STAFF, Role.STUDENT)
@require_safe
def solid_stl(request: HttpRequest, pk: UUID, size: str) -> HttpResponse:
    """The clay as a closed surface in millimetres, `wet` or `fired`."""
    if size not in SIZES:
        raise Http404
    plan, person = _plan(request, pk), person_of(request)
    try:
        with FILES.taken_by(person.pk):
            clay = solid_of(plan, studio_of(person)).clay(fired=size == "fired")
    except Full as full:
        raise Refused(str(full.detail)) from None
    name = f"{plan.piece.code}-{size}"
    content = stl_file(clay, f"Coilcourse {name}, millimetres")
    response = HttpResponse(content, content_type="model/stl")
    response["Content-Disposition"] = f'attachment; filename="{name}.stl"'
    response["Cache-Control"] = "no-store, private"
    return response


def _foot_mm(made: Solid) -> float:
    return made.inputs.foot_ring.height_mm if made.inputs.foot_ring else 0.0


def _plan(request: HttpRequest, pk: UUID) -> PlanVersion:
    seen = PlanVersion.objects.visible_to(person_of(request)).select_related(
        "piece__student", "piece__studio", "piece__assignment__clay_body"
    )
    return get_object_or_404(seen, pk=pk)
