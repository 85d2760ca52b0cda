"""How far each piece has come, for shelves, lists and a student's own page.

A fixed number of queries however many pieces.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from uuid import UUID

from planning.exploration.gate import Counts
from planning.models import Choice, MilestoneKind, Piece, PlanState, PlanVersion

from .gate import counts_asked, counts_done


@dataclass(frozen=True)
class Progress:
    """What is done of one piece. `plan` is the version that holds, or the newest before one does;
    drafts are left out. `waiting` is a plan that waits for a teacher. Whether the pot is `built`
    is recorded above planning and passed in."""

    done: Counts
    asked: Counts
    choice: Choice | None
    plan: PlanVersion | None
    waiting: PlanVersion | None
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
            plan=plans.get(pk, (None, None))[0],
            waiting=plans.get(pk, (None, None))[1],
            built=pk in built,
        )
        for pk in ids
    }


def _plans(ids: list[UUID]) -> dict[UUID, tuple[PlanVersion | None, PlanVersion | None]]:
    """By piece: the version that holds (else the newest sent back), and the one that waits."""
    found: dict[UUID, tuple[PlanVersion | None, PlanVersion | None]] = {}
    versions = PlanVersion.objects.filter(piece__in=ids).exclude(state=PlanState.DRAFT)
    for plan in versions.order_by("number"):
        holds, waits = found.get(plan.piece_id, (None, None))
        if plan.state == PlanState.SENT:
            waits = plan
        elif plan.state == PlanState.APPROVED or holds is None or not _approved(holds):
            holds = plan
        found[plan.piece_id] = (holds, waits)
    return found


def _approved(plan: PlanVersion) -> bool:
    return plan.state == PlanState.APPROVED
