"""What a page shows of a plan: the drawing, the figures, its rows, what to look at."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass, field, replace

from django.utils.translation import gettext

from planning.geometry.refusal import FormRefused
from planning.geometry.soundness import enlargement_of
from planning.models import PlanVersion
from planning.models.brief import Terms
from planning.pictures.from_above import FromAbove
from planning.pictures.measured import PlanDrawing
from planning.rows.choices import Lesson
from planning.rows.sentences import RowsRefused
from studio.errors import Problem, Refused
from studio.units.scales import Units

from .answer import Answer, plan_answer
from .building import rows_of
from .inputs import Drawn, computed_from, drawn_from_json
from .laid import Laid, laid_over
from .seen import seen_from_above
from .wording import kept_sentence


@dataclass(frozen=True)
class Look:
    """One line of the checks; `met` where there is nothing to look at."""

    message: str
    met: bool = False


@dataclass(frozen=True)
class Scale:
    """At which scale a drawing that is being changed was shown: drawing units per mm, and whether
    it has to stay so, since a hand holds it."""

    units_per_mm: float | None = None
    still: bool = False


@dataclass(frozen=True)
class PlanView:
    """`answer` is None where the form can't be computed yet; `problems` say why, and the drawing
    has no outline then, its height lines only. `oval` where a depth says something."""

    drawing: PlanDrawing | None
    answer: Answer | None
    oval: bool
    checks: list[Look] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    laid: Laid | None = None
    above: FromAbove | None = None

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


def plan_view(
    drawn: Drawn,
    terms: Terms,
    units: Units,
    lessons: Sequence[Lesson] = (),
    scale: Scale | None = None,
) -> PlanView:
    """A plan as it is being entered: computed from the lines that are measured so far."""
    oval = not drawn.is_round
    if len(drawn.measured) < 2:  # noqa: PLR2004 -- a base edge and one line above it
        return PlanView(None, None, oval)
    by = enlargement_of(computed_from(drawn, terms))
    shown = scale or Scale()
    drawing = replace(
        _drawing(drawn, by, "on_paper"),
        kept=shown.units_per_mm,
        still=shown.still,
        dated=bool(lessons),
    )
    try:
        answer = plan_answer(drawn, terms, units, lessons)
    except Refused as refusal:
        return PlanView(drawing, None, oval, problems=refusal.problems)
    return _view(drawn, answer, units, drawing, laid_over(answer, units, terms, lessons))


def kept_plan_view(plan: PlanVersion, units: Units, lessons: Sequence[Lesson] = ()) -> PlanView:
    """A plan that was sent, with the figures that it keeps; its rows are laid over `lessons`, for
    which the piece's assignment with its clay body is loaded."""
    stage = "planned" if plan.state == "approved" else "on_paper"
    drawn, answer = drawn_from_json(plan.inputs), plan.figures or {}
    by = answer["silhouette"][-1][0] / drawn.measured[-1].height_mm
    drawing = replace(_drawing(drawn, by, stage), dated=bool(lessons))
    if lessons:
        rows = answer | _rows_over(plan, lessons)
        laid = laid_over(rows, units, plan.piece.assignment, lessons)
    else:
        laid = laid_over(answer, units)
    return _view(drawn, answer, units, drawing, laid)


def _rows_over(plan: PlanVersion, lessons: Sequence[Lesson]) -> Answer:
    """Rows blended where lessons end; those that were kept where they can't be laid any more."""
    try:
        listed = rows_of(plan, lessons)
    except (FormRefused, RowsRefused):
        return {}
    return {"coil_mm": listed.coil_mm, "rows": [asdict(row) for row in listed.rows]}


def _drawing(drawn: Drawn, by: float, stage: str) -> PlanDrawing:
    """The drawing's lines, wet: a fired one is enlarged, its height lines with it."""
    ring = drawn.foot_ring
    lines = [
        (point.height_mm * by, point.left_mm * by, point.right_mm * by) for point in drawn.measured
    ]
    return PlanDrawing((), lines, stage=stage, enlarged=by, foot_mm=ring.height_mm if ring else 0.0)


def _view(
    drawn: Drawn, answer: Answer, units: Units, drawing: PlanDrawing, laid: Laid | None
) -> PlanView:
    found = [*answer["checks"], *answer.get("building", ())]
    looks = [Look(kept_sentence(each, units)) for each in found]
    silhouette = [(h, left, right) for h, left, right in answer["silhouette"]]
    return PlanView(
        drawing=replace(
            drawing, silhouette=silhouette, reached=tuple(laid.reached) if laid else ()
        ),
        answer=answer,
        oval=not drawn.is_round,
        checks=looks or [Look(_nothing_to_say(), met=True)],
        laid=laid,
        above=seen_from_above(drawn, answer),
    )


def _nothing_to_say() -> str:
    return gettext(
        "Nothing to look at: size within the brief, wall for its height, foot under the belly, "
        "room for a hand, a way out for the damp, left and right alike."
    )
