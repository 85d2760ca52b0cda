"""Tags that draw pots: one alone, a shelf of them, the measured drawing of a plan."""

from collections.abc import Sequence
from typing import Any

from django import template
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from planning.pictures.measured import PlanDrawing, plan_picture
from planning.pictures.outline import Sample
from planning.pictures.shelf import Shelf, Ware, alone, shelf
from studio.units.scales import Metric, Units

register = template.Library()

# In the order that a pot goes through them; each has its pattern in templates/_patterns.html.
STAGES: dict[str, str | Promise] = {
    "on_paper": _("on paper"),
    "planned": _("plan approved"),
    "wet": pgettext_lazy("stage of a pot", "wet"),
    "leather_hard": _("leather-hard"),
    "bone_dry": _("bone dry"),
    "bisque_fired": _("bisque fired"),
    "glazed": pgettext_lazy("stage of a pot", "glazed"),
    "glaze_fired": _("glaze fired"),
    "broken": pgettext_lazy("stage of a pot", "broken"),
    "missing": pgettext_lazy("stage of a pot", "missing"),
}


@register.simple_tag
def shelf_of(wares: Sequence[Ware]) -> Shelf:
    """`{% shelf_of wares as shelf %}`: the pieces at one scale."""
    return shelf(wares)


@register.simple_tag
def stages_of(wares: Sequence[Ware]) -> list[tuple[str, str | Promise]]:
    """`{% stages_of wares as stages %}`: only the stages that stand on the shelf, in order."""
    present = {ware.stage for ware in wares}
    return [(stage, label) for stage, label in STAGES.items() if stage in present]


@register.simple_tag
def any_of(wares: Sequence[Ware], mark: str) -> bool:
    """`{% any_of wares "flag" as late %}`: whether a legend needs the mark."""
    return any(getattr(ware, mark) for ware in wares)


@register.inclusion_tag("planning/_pot.html")
def pot(
    silhouette: Sequence[Sample], stage: str = "on_paper", width: float = 120, label: str = ""
) -> dict[str, Any]:
    """`{% pot silhouette stage 120 label %}`: one pot by itself, as wide as `width` px."""
    drawing, height = alone(silhouette, width=float(width))
    return {
        "drawing": drawing,
        "stage": stage,
        "width": width,
        "height": height,
        "label": label or STAGES.get(stage, ""),
    }


@register.inclusion_tag("planning/_plan_drawing.html")
def plan_drawing(drawing: PlanDrawing, units: Units | None = None) -> dict[str, Any]:
    """`{% plan_drawing drawing studio %}`: outline, height lines and the widest place."""
    return {
        "picture": plan_picture(drawing),
        "stage": drawing.stage,
        "label": drawing.label,
        "units": units or Metric(),
    }
