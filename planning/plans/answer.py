"""The figures of a plan as the API answers them and as a sent plan keeps them.

Lengths mm, masses g, volumes cm³, areas cm². Besides the names of the API: `silhouette`, the wet
outer form as (height, left, right) for drawing, `checks` of the form and `building`, of its rows
and its soft wall: codes with values, since their sentences are made for whoever reads them.
"""

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from planning.bench.checking import BuildCheck
from planning.geometry.checks import Limits, limit_checks, plan_checks
from planning.geometry.form import form
from planning.geometry.plan import Figures, Size, figures
from planning.geometry.said import Said
from planning.models.brief import Terms
from planning.plans.building import choices_of
from planning.plans.wording import check_sentence, refused_in, said_sentence
from planning.rows.choices import Lesson
from planning.rows.own_weight import OwnWeight, RowCaution, own_weight
from planning.rows.rows import RowList, row_list
from studio.units.scales import Metric, Units

from .inputs import Drawn, computed_from

Answer = dict[str, Any]


def plan_answer(
    drawn: Drawn, terms: Terms, units: Units | None = None, lessons: Sequence[Lesson] = ()
) -> Answer:
    """Compute a plan under an assignment's terms, its rows laid over `lessons` where they are
    known; raises `Refused` with every reason."""
    inputs = computed_from(drawn, terms)
    with refused_in(units or Metric()):
        made = form(inputs)
        listed = row_list(made, choices_of(terms, inputs.body.wet_density_g_per_cm3, lessons))
    computed = figures(inputs, made)
    weight = own_weight(made, listed, inputs.body.wet_density_g_per_cm3)
    found: list[Said] = [*limit_checks(computed, _limits(terms)), *plan_checks(computed)]
    if drawn.uneven_on_purpose:
        found = [check for check in found if check.code != "uneven"]
    return (
        answer_of(computed)
        | rows_answer(listed, weight)
        | {
            "checks": [_kept(each) for each in found],
            "building": [_kept(each) for each in listed.checks]
            + [_kept(each.cause, each.advice) for each in cautions_to_say(weight, listed)],
            "soft_wall": [asdict(station) for station in weight.stations],
        }
    )


def _kept(said: Said, advice: Said | None = None) -> dict[str, Any]:
    """A code with its values: the sentence is made for whoever reads it."""
    kept: dict[str, Any] = {"code": said.code, "values": dict(said.values)}
    return kept if advice is None else kept | {"advice": _kept(advice)}


def answer_of(computed: Figures) -> Answer:
    """Figures under the names of the compute API."""
    return {
        "volume_cm3": {
            "wall": computed.wall_cm3,
            "base": computed.base_cm3,
            "corner": computed.corner_cm3,
            "total": computed.total_cm3,
        },
        "capacity_cm3": computed.capacity_cm3,
        "outer_area_cm2": computed.outer_area_cm2,
        "clay_g": {
            "pot_wet": computed.clay.pot_wet_g,
            "issue_low": computed.clay.issue_low_g,
            "issue": computed.clay.issue_g,
            "issue_high": computed.clay.issue_high_g,
            "bone_dry": computed.clay.bone_dry_g,
            "fired": computed.clay.fired_g,
        },
        "size_mm": {
            "wet": _size(computed.wet),
            "dry": _size(computed.dry),
            "fired": _size(computed.fired),
        },
        "height_lines": [asdict(line) for line in computed.height_lines],
        "asymmetry": asdict(computed.asymmetry),
        "silhouette": [list(sample) for sample in computed.silhouette.points],
        "warnings": [
            {"code": check.code, "message": check_sentence(check.code, check.values)}
            for check in plan_checks(computed)
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
    "coils",
    "slant_mm",
)


def rows_answer(listed: RowList, weight: OwnWeight) -> Answer:
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
        "warnings": [{"code": said.code, "message": said_sentence(said)} for said in listed.checks]
        + [
            {
                "code": each.cause.code,
                "message": f"{said_sentence(each.cause)} {said_sentence(each.advice)}",
            }
            for each in cautions_to_say(weight, listed)
        ],
    }


def cautions_to_say(weight: OwnWeight, listed: RowList) -> list[RowCaution]:
    """Without what only very soft clay does, and only after a rest that the rows have anyway: said
    on every plan, nobody would read it on the one that needs it."""
    first = listed.rests[0].after_row if listed.rests else None
    return [
        each
        for each in weight.cautions
        if each.advice.code != "pause_row_if_soft" or first is None or each.pause.early < first
    ]


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
