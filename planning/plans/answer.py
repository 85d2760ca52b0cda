"""The figures of a plan as the API answers them and as a sent plan keeps them.

Lengths mm, masses g, volumes cm³, areas cm². Besides the names of the API: `silhouette`, the wet
outer form as (height, left, right) for drawing, and `checks`, codes with values, since their
sentences are made for whoever reads them.
"""

from dataclasses import asdict
from typing import Any

from planning.bench.checking import BuildCheck
from planning.geometry.checks import Limits, limit_checks, plan_checks
from planning.geometry.plan import Figures, Size, plan
from planning.geometry.refusal import FormRefused
from planning.models.brief import Terms
from planning.plans.wording import check_sentence, refusal_problems, said_sentence
from planning.rows.rows import RowList
from studio.errors import Refused
from studio.units.scales import Metric, Units

from .inputs import Drawn, computed_from

Answer = dict[str, Any]


def plan_answer(drawn: Drawn, terms: Terms, units: Units | None = None) -> Answer:
    """Compute a plan under an assignment's terms; raises `Refused` with every reason."""
    try:
        figures = plan(computed_from(drawn, terms))
    except FormRefused as refusal:
        problems = refusal_problems(refusal.problems, units or Metric())
        raise Refused.all_of(problems) from None
    found = (*limit_checks(figures, _limits(terms)), *plan_checks(figures))
    if drawn.uneven_on_purpose:
        found = tuple(check for check in found if check.code != "uneven")
    return answer_of(figures) | {
        "checks": [{"code": check.code, "values": dict(check.values)} for check in found]
    }


def answer_of(figures: Figures) -> Answer:
    """Figures under the names of the compute API."""
    return {
        "volume_cm3": {
            "wall": figures.wall_cm3,
            "base": figures.base_cm3,
            "corner": figures.corner_cm3,
            "total": figures.total_cm3,
        },
        "capacity_cm3": figures.capacity_cm3,
        "outer_area_cm2": figures.outer_area_cm2,
        "clay_g": {
            "pot_wet": figures.clay.pot_wet_g,
            "issue_low": figures.clay.issue_low_g,
            "issue": figures.clay.issue_g,
            "issue_high": figures.clay.issue_high_g,
            "bone_dry": figures.clay.bone_dry_g,
            "fired": figures.clay.fired_g,
        },
        "size_mm": {
            "wet": _size(figures.wet),
            "dry": _size(figures.dry),
            "fired": _size(figures.fired),
        },
        "height_lines": [asdict(line) for line in figures.height_lines],
        "asymmetry": asdict(figures.asymmetry),
        "silhouette": [list(sample) for sample in figures.silhouette.points],
        "warnings": [
            {"code": check.code, "message": check_sentence(check.code, check.values)}
            for check in plan_checks(figures)
        ],
    }


_OF_A_ROW = (
    "row",
    "height_mm",
    "front_mm",
    "depth_mm",
    "perimeter_mm",
    "coil_length_mm",
    "coil_g",
    "seam_clock",
    "blend",
)


def rows_answer(listed: RowList) -> Answer:
    """Coil, rows, rests and what to look at, under the names of the compute API."""
    return {
        "coil_mm": listed.coil_mm,
        "rows": [{name: getattr(row, name) for name in _OF_A_ROW} for row in listed.rows],
        "rests": [
            {
                "after_row": rest.after_row,
                "reason": rest.reason,
                "message": said_sentence(rest.said),
            }
            for rest in listed.rests
        ],
        "warnings": [{"code": said.code, "message": said_sentence(said)} for said in listed.checks],
    }


def check_answer(check: BuildCheck) -> Answer:
    """One measurement judged, under the names of the compute API."""
    return {
        "height_mm": check.height_mm,
        "deviation_mm": check.deviation_mm,
        "action": check.action,
        "darts": None if check.darts is None else asdict(check.darts),
        "message": said_sentence(check.said),
    }


def _size(size: Size) -> dict[str, float]:
    return {"height": size.height_mm, "front": size.front_mm, "depth": size.depth_mm}


def _limits(terms: Terms) -> Limits:
    return Limits(
        least_height_mm=float(terms.min_fired_height_mm),
        most_height_mm=float(terms.max_fired_height_mm),
        most_front_mm=float(terms.max_fired_width_mm),
        most_depth_mm=float(terms.max_fired_depth_mm),
    )
