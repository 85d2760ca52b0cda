"""How far each piece has come, for shelves, lists and a student's own page.

A fixed number of queries however many pieces.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from uuid import UUID

from planning.exploration.gate import Counts
from planning.models import Choice, MilestoneKind, Piece, PlanState, PlanVersion

from .gate import counts_asked, counts_done


@dataclass(frozen=True)
class Progress:
    """What is done of one piece. `plan` is the version that holds, or the newest sent back before
    one does. `waiting` is a plan that waits for a teacher, `draft` one that its student
    still works at. Whether the pot is `built` is recorded above planning and passed in."""

    done: Counts
    asked: Counts
    choice: Choice | None
    plan: PlanVersion | None
    waiting: PlanVersion | None
    draft: PlanVersion | None = None
    built: bool = False

    @property
    def approved(self) -> bool:
        return self.plan is not None and self.plan.state == PlanState.APPROVED

    @property
    def sent_back(self) -> bool:
        """The last word was the teacher's, and it was no."""
        newest = self.waiting or self.plan
        return newest is not None and newest.state == PlanState.SENT_BACK

    @property
    def standing_plan(self) -> PlanVersion | None:
        """What the student has out: the plan that waits, else the one that is approved."""
        return self.waiting or (self.plan if self.approved else None)

    def next_step(self, *, shut: bool) -> str:
        """The step that is open on the student's path; `shut` while the gate is."""
        if self.choice is None:
            return "sketch" if shut else "choose"
        if self.waiting is not None:
            return "waiting"
        if self.approved:
            return "build"
        enough = self.done.refinements >= self.asked.refinements
        return "plan" if enough or self.plan is not None else "refine"

    def reached(self, kind: str) -> bool:
        """Whether the milestone is behind this piece."""
        sent = self.waiting is not None or self.plan is not None
        match kind:
            case MilestoneKind.THUMBNAILS:
                enough = (
                    self.done.thumbnails >= self.asked.thumbnails
                    and self.done.source_forms >= self.asked.source_forms
                )
                return enough or self.choice is not None
            case MilestoneKind.CHOSEN:
                return self.choice is not None
            case MilestoneKind.REFINED:
                return self.done.refinements >= self.asked.refinements or sent
            case MilestoneKind.PLAN_SENT:
                return self.waiting is not None or self.approved
            case MilestoneKind.BUILT:
                return self.built
        return False


def progress_of(
    pieces: Iterable[Piece], *, built: Collection[UUID] = frozenset()
) -> dict[UUID, Progress]:
    """Progress by piece; `built` are those whose pot is built. Their `assignment` is loaded."""
    listed = list(pieces)
    ids = [piece.pk for piece in listed]
    done, asked = counts_done(ids), counts_asked(listed)
    choices = {
        choice.piece_id: choice
        for choice in Choice.objects.current()
        .filter(piece__in=ids)
        .select_related("thumbnail__image")
    }
    plans = _plans(ids)
    return {
        pk: Progress(
            done=done[pk],
            asked=asked[pk],
            choice=choices.get(pk),
            plan=plans[pk].holds,
            waiting=plans[pk].waits,
            draft=plans[pk].draft,
            built=pk in built,
        )
        for pk in ids
    }


@dataclass
class _Plans:
    """Of one piece: the version that holds (else the newest sent back), and the others."""

    holds: PlanVersion | None = None
    waits: PlanVersion | None = None
    draft: PlanVersion | None = None


def _plans(ids: list[UUID]) -> dict[UUID, _Plans]:
    found: dict[UUID, _Plans] = defaultdict(_Plans)
    for plan in PlanVersion.objects.filter(piece__in=ids).order_by("number"):
        own = found[plan.piece_id]
        if plan.state == PlanState.DRAFT:
            own.draft = plan
        elif plan.state == PlanState.SENT:
            own.waits = plan
        elif plan.state == PlanState.APPROVED or own.holds is None or not _approved(own.holds):
            own.holds = plan
    return found


def _approved(plan: PlanVersion) -> bool:
    return plan.state == PlanState.APPROVED
