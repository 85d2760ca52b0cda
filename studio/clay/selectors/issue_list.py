"""Who of a class gets how much clay, how much they have, and whether there is enough."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from django.utils.translation import gettext as _

from planning.models import Assignment, Piece, PlanState, PlanVersion
from studio.clay.bags import bags_for
from studio.people.models import Absence, User
from studio.ware.models import Pot

from .needs import remaining_g
from .pots import TAKES_CLAY, PotClay, clay_of
from .stock import BodyStock, bags_on_hand, stock_of
from .talks import newest_talks, talk_comes_first


@dataclass(frozen=True)
class IssueLine:
    """One student's clay. `hindrance` says why nothing can be issued now, "" where it can."""

    piece: Piece
    code: str
    planned_g: float | None
    range_g: tuple[float, float] | None
    talk_on: date | None
    clay: PotClay
    remaining_g: float
    hindrance: str
    absent: bool

    @property
    def student(self) -> User:
        return self.piece.student


@dataclass(frozen=True)
class IssueList:
    """The lines of a class by name, and what they come to."""

    lines: list[IssueLine]
    stock: BodyStock
    talk_first: bool

    @property
    def needed_g(self) -> float:
        """What is still to be handed out to pots with an approved plan."""
        return sum(line.remaining_g for line in self.lines)

    @property
    def out_g(self) -> int:
        return sum(line.clay.kept_g for line in self.lines)

    @property
    def lacking_g(self) -> float:
        return max(0.0, self.needed_g - self.stock.ready_g)

    @property
    def waiting(self) -> int:
        """Pots that still get clay."""
        return sum(1 for line in self.lines if line.remaining_g)

    @property
    def without_plan(self) -> int:
        return sum(1 for line in self.lines if line.planned_g is None)

    @property
    def bags_needed(self) -> int | None:
        return bags_for(self.needed_g, self.stock.bag_g)

    @property
    def bags_there(self) -> int:
        return bags_on_hand(self.stock.to_issue)

    @property
    def bags_lacking(self) -> int | None:
        return bags_for(self.lacking_g, self.stock.bag_g)


def issue_list(assignment: Assignment, *, today: date) -> IssueList:
    """Everybody now in the class who has a piece. Eight queries, however many they are."""
    section = assignment.section
    pieces = list(
        Piece.objects.of_enrolled()
        .filter(assignment=assignment)
        .select_related("student")
        .order_by("student__given_name", "student__family_name", "code")
    )
    pots = {
        pot.piece_id: pot
        for pot in Pot.objects.standing().filter(piece__in=pieces).select_related("plan")
    }
    plans = _approved_plans(pieces) | {piece: pot.plan for piece, pot in pots.items()}
    clay = clay_of(pots.values())
    talks = newest_talks([piece.student_id for piece in pieces])
    absent = set(
        Absence.objects.filter(meeting__section=section, meeting__on=today).values_list(
            "student", flat=True
        )
    )
    talk_first = talk_comes_first(section.studio_id)
    lines = [
        _line(
            piece,
            pots.get(piece.pk),
            plans.get(piece.pk),
            clay,
            talk_on=talks.get(piece.student_id),
            talk_first=talk_first,
            absent=piece.student_id in absent,
        )
        for piece in pieces
    ]
    return IssueList(lines=lines, stock=stock_of(assignment.clay_body), talk_first=talk_first)


def _line(
    piece: Piece,
    pot: Pot | None,
    plan: PlanVersion | None,
    clay: Mapping[UUID, PotClay],
    *,
    talk_on: date | None,
    talk_first: bool,
    absent: bool,
) -> IssueLine:
    planned_g = plan.issue_g if plan else None
    got = clay.get(pot.pk) if pot else None
    got = got or PotClay(issued_g=0, returned_g=0, planned_g=planned_g)
    if pot is not None:
        pot.piece = piece  # so that its code is known without asking again
    return IssueLine(
        piece=piece,
        code=pot.code if pot else piece.code,
        planned_g=planned_g,
        range_g=issue_range_g(plan),
        talk_on=talk_on,
        clay=got,
        remaining_g=remaining_g(planned_g, got.kept_g, pot.stage if pot else None),
        hindrance=_hindrance(pot, plan, untold=talk_first and talk_on is None),
        absent=absent,
    )


def line_of(piece: Piece, *, today: date) -> IssueLine:
    """One student's clay, wherever they stand at the scale. Six queries at most; the piece's
    student and assignment are loaded.
    """
    pot = Pot.objects.standing().filter(piece=piece).select_related("plan").first()
    plan = pot.plan if pot else _approved_plans([piece]).get(piece.pk)
    section = piece.assignment.section_id
    return _line(
        piece,
        pot,
        plan,
        clay_of([pot] if pot else []),
        talk_on=newest_talks([piece.student_id]).get(piece.student_id),
        talk_first=talk_comes_first(piece.studio_id),
        absent=Absence.objects.filter(
            meeting__section=section, meeting__on=today, student=piece.student_id
        ).exists(),
    )


def issue_range_g(plan: PlanVersion | None) -> tuple[float, float] | None:
    """Between which weights the plan's clay lies, as it was frozen when it was sent."""
    clay = (plan.figures or {}).get("clay_g", {}) if plan else {}
    low, high = clay.get("issue_low"), clay.get("issue_high")
    return None if low is None or high is None else (low, high)


def _hindrance(pot: Pot | None, plan: PlanVersion | None, *, untold: bool) -> str:
    if plan is None:
        return _("no approved plan yet")
    if pot is not None and pot.stage not in TAKES_CLAY:
        return _("%(stage)s, takes no more clay") % {"stage": pot.get_stage_display()}
    return _("safety talk first") if untold else ""


def _approved_plans(pieces: list[Piece]) -> dict[UUID, PlanVersion]:
    """The newest approved plan of each piece; it holds."""
    plans = PlanVersion.objects.filter(piece__in=pieces, state=PlanState.APPROVED)
    return {plan.piece_id: plan for plan in plans.order_by("number")}
