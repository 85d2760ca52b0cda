"""Plans that wait for a teacher, and those decided."""

from collections.abc import Sequence

from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext as _

from planning.models import Piece, PlanState, PlanVersion
from planning.models.plan import PlanQuerySet
from planning.pictures.shelf import Ware
from studio.people.models import User

MOST_DECIDED = 30


def plans_waiting(person: User) -> list[PlanVersion]:
    """Plans that wait for this teacher, the longest first; those of closed classes rest.

    So do those of students who left the class.
    """
    return list(_waiting(person).order_by("sent_at", "pk"))


def next_waiting(person: User, *, after: PlanVersion) -> PlanVersion | None:
    """The plan that has waited longest behind `after`, else the longest of all."""
    waiting = _waiting(person).exclude(pk=after.pk)
    behind = Q(sent_at__gt=after.sent_at) | Q(sent_at=after.sent_at, pk__gt=after.pk)
    ordered = waiting.order_by("sent_at", "pk")
    return ordered.filter(behind).first() or ordered.first()


def waiting_wares(plans: Sequence[PlanVersion]) -> list[Ware]:
    """Plans that wait for a teacher as pots on a shelf; each leads to its review."""
    return [
        Ware(
            code=plan.piece.code,
            name=plan.piece.student.short_name,
            url=reverse("plan_review", args=[plan.pk]),
            stage="on_paper",
            stage_label=_("plan sent"),
            silhouette=plan.silhouette,
        )
        for plan in plans
    ]


def plans_decided(person: User) -> list[PlanVersion]:
    """The newest decisions on plans of this teacher's classes."""
    decided = _listed(person).filter(state__in=(PlanState.APPROVED, PlanState.SENT_BACK))
    return list(decided.order_by("-decided_at")[:MOST_DECIDED])


def newest_version(piece: Piece) -> PlanVersion | None:
    """The draft, else the last version as a beginning of the next."""
    return PlanVersion.objects.filter(piece=piece).order_by("-number").first()


def last_note_back(piece: Piece) -> str:
    """What the teacher last asked to be changed, "" for nothing."""
    back = PlanVersion.objects.filter(piece=piece, state=PlanState.SENT_BACK)
    return back.order_by("-number").values_list("note", flat=True).first() or ""


def _waiting(person: User) -> PlanQuerySet:
    enrolled = Piece.objects.of_enrolled().order_by()
    return _listed(person).waiting().filter(piece__in=enrolled)


def _listed(person: User) -> PlanQuerySet:
    return (
        PlanVersion.objects.visible_to(person)
        .filter(piece__assignment__section__archived=False)
        .select_related("piece__student", "piece__assignment__section")
    )
