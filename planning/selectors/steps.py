"""What is compared of a piece from its choice on."""

from collections.abc import Iterable, Sequence
from datetime import datetime
from uuid import UUID

from django.db.models import F

from planning.models import Choice, PlanState, PlanVersion, Refinement, Thumbnail


def since_chosen(choices: Sequence[tuple[UUID, datetime]]) -> datetime:
    """From when on the drawing that holds was the chosen one, of choices in order of time. What was
    drawn before developed another one; a new reason for the same drawing begins nothing anew."""
    since = choices[-1][1]
    for thumbnail, at in reversed(choices):
        if thumbnail != choices[-1][0]:
            break
        since = at
    return since


def drawings_on_the_way(piece: UUID) -> tuple[Thumbnail, list[Refinement]] | None:
    """The chosen drawing and the refinements of it that count, in the order drawn; None before the
    choice, and while the chosen one isn't read."""
    in_time = ("at", F("replaced_at").asc(nulls_last=True))
    choices = list(
        Choice.objects.filter(piece=piece).order_by(*in_time).values_list("thumbnail", "at")
    )
    read = Thumbnail.objects.readable().select_related("image__drawn_form")
    chosen = read.filter(pk=choices[-1][0]).first() if choices else None
    if chosen is None:
        return None
    refined = Refinement.objects.readable().filter(piece=piece, added_at__gte=since_chosen(choices))
    return chosen, list(refined.select_related("image__drawn_form").order_by("added_at", "pk"))


def plan_compared(piece: UUID) -> PlanVersion | None:
    """See `plan_to_compare`."""
    return plan_to_compare(PlanVersion.objects.filter(piece=piece))


def plan_to_compare(versions: Iterable[PlanVersion]) -> PlanVersion | None:
    """Of the versions of one piece the newest that is approved, else the one that waits."""
    newest_first = sorted(versions, key=lambda plan: plan.number, reverse=True)
    for state in (PlanState.APPROVED, PlanState.SENT):
        for plan in newest_first:
            if plan.state == state:
                return plan
    return None
