"""What a page shows of a plan: the drawing, the figures, what to look at."""

from dataclasses import dataclass, field

from django.utils.translation import gettext

from planning.models import PlanVersion
from planning.models.brief import Terms
from planning.pictures.measured import PlanDrawing
from studio.errors import Problem, Refused
from studio.units.scales import Units

from .answer import Answer, plan_answer
from .inputs import Drawn, drawn_from_json
from .wording import kept_sentence


@dataclass(frozen=True)
class Look:
    """One line of the checks; `met` where there is nothing to look at."""

    message: str
    met: bool = False


@dataclass(frozen=True)
class PlanView:
    """`answer` is None where the form can't be computed yet; `problems` say why."""

    drawing: PlanDrawing | None
    answer: Answer | None
    oval: bool
    checks: list[Look] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)

    @property
    def issue_range(self) -> tuple[float, float] | None:
        if self.answer is None:
            return None
        clay = self.answer["clay_g"]
        return clay["issue_low"], clay["issue_high"]

    @property
    def wet(self) -> dict[str, float] | None:
        return self.answer["size_mm"]["wet"] if self.answer else None

    @property
    def fired(self) -> dict[str, float] | None:
        return self.answer["size_mm"]["fired"] if self.answer else None

    @property
    def clay_g(self) -> dict[str, float] | None:
        return self.answer["clay_g"] if self.answer else None

    @property
    def capacity_cm3(self) -> float | None:
        return self.answer["capacity_cm3"] if self.answer else None


def plan_view(drawn: Drawn, terms: Terms, units: Units) -> PlanView:
    """A plan as it is being entered: computed from the lines that are measured so far."""
    oval = not drawn.is_round
    if len(drawn.measured) < 2:  # noqa: PLR2004 -- a base edge and one line above it
        return PlanView(None, None, oval)
    try:
        answer = plan_answer(drawn, terms, units)
    except Refused as refusal:
        return PlanView(None, None, oval, problems=refusal.problems)
    return _view(drawn, answer, units, "on_paper")


def kept_plan_view(plan: PlanVersion, units: Units) -> PlanView:
    """A plan that was sent, with the figures that it keeps."""
    stage = "planned" if plan.state == "approved" else "on_paper"
    return _view(drawn_from_json(plan.inputs), plan.figures or {}, units, stage)


def _view(drawn: Drawn, answer: Answer, units: Units, stage: str) -> PlanView:
    silhouette = [(h, left, right) for h, left, right in answer["silhouette"]]
    # The drawing is wet; a fired one is enlarged, its height lines with it.
    by = silhouette[-1][0] / drawn.measured[-1].height_mm
    lines = [
        (point.height_mm * by, point.left_mm * by, point.right_mm * by) for point in drawn.measured
    ]
    found = [*answer["checks"], *answer.get("building", ())]
    looks = [Look(kept_sentence(each, units)) for each in found]
    return PlanView(
        drawing=PlanDrawing(silhouette, lines, stage=stage),
        answer=answer,
        oval=not drawn.is_round,
        checks=looks or [Look(_nothing_to_say(), met=True)],
    )


def _nothing_to_say() -> str:
    return gettext(
        "Nothing to look at: size within the brief, wall for its height, foot under the belly, "
        "room for a hand, a way out for the damp, left and right alike."
    )
