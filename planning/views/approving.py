"""The teacher's queue: plans to approve, one after the other."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from planning.forms.approving import DecisionForm
from planning.models import Choice, PlanPhoto, PlanState, PlanVersion, Refinement
from planning.plans.view import kept_plan_view
from planning.selectors.gate import counts_asked, counts_done
from planning.selectors.lessons import lessons_ahead
from planning.selectors.plans import next_waiting, plans_decided, plans_waiting, waiting_wares
from planning.services.plans import approve, send_back
from studio.errors import Refused
from studio.people.access import TEACHING, only, person_of
from studio.web.refusals import show_refusal


@only(*TEACHING)
@require_safe
def plans(request: HttpRequest) -> HttpResponse:
    """What waits, the longest first, and what was decided lately."""
    person = person_of(request)
    waiting = plans_waiting(person)
    context = {
        "waiting": waiting,
        "wares": waiting_wares(waiting),
        "decided": plans_decided(person),
        "today": timezone.localdate(),
    }
    return render(request, "planning/plans.html", context)


@only(*TEACHING)
def plan_review(request: HttpRequest, pk: UUID) -> HttpResponse:
    """One sent plan with its checks; the decision leads to the next that waits."""
    person = person_of(request)
    seen = PlanVersion.objects.visible_to(person).select_related(
        "piece__studio",
        "piece__student",
        "piece__assignment__section",
        "piece__assignment__clay_body",
        "decided_by",
    )
    plan = get_object_or_404(seen, pk=pk)
    form = DecisionForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        note, at = form.cleaned_data["note"], timezone.now()
        try:
            if "approve" in request.POST:
                approve(plan=plan, by=person, at=at, note=note)
                done = _("Approved: %(name)s, %(code)s.")
            else:
                send_back(plan=plan, by=person, at=at, note=note)
                done = _("Sent back: %(name)s, %(code)s.")
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            words = {"name": plan.piece.student.short_name, "code": plan.piece.code}
            messages.success(request, done % words)
            following = next_waiting(person, after=plan)
            return redirect("plan_review", following.pk) if following else redirect("plans")
    return render(
        request, "planning/plan_review.html", _context(plan, form) | _place(request, plan)
    )


def _context(plan: PlanVersion, form: DecisionForm) -> dict[str, object]:
    piece, undecided = plan.piece, plan.state == PlanState.SENT
    # Once it is decided, the bench says what stands when.
    lessons = lessons_ahead(piece, timezone.localdate()) if undecided else ()
    return {
        "plan": plan,
        "piece": piece,
        "form": form,
        "view": kept_plan_view(plan, piece.studio, lessons),
        "choice": Choice.objects.current()
        .filter(piece=piece)
        .select_related("thumbnail__image", "thumbnail__source_form")
        .first(),
        "photos": PlanPhoto.objects.filter(piece=piece, taken_at__isnull=False).select_related(
            "image"
        ),
        "refinements": Refinement.objects.standing().filter(piece=piece).select_related("image"),
        "earlier": PlanVersion.objects.filter(piece=piece, number__lt=plan.number)
        .exclude(state__in=(PlanState.DRAFT, PlanState.TAKEN_BACK))
        .order_by("-number"),
        "done": counts_done([piece.pk])[piece.pk],
        "asked": counts_asked([piece])[piece.pk],
        "undecided": undecided,
        "today": timezone.localdate(),
    }


def _place(request: HttpRequest, plan: PlanVersion) -> dict[str, object]:
    """Where the plan stands in the queue."""
    waiting = [each.pk for each in plans_waiting(person_of(request))]
    place = waiting.index(plan.pk) + 1 if plan.pk in waiting else 0
    following = waiting[place] if 0 < place < len(waiting) else None
    return {"place": place, "of": len(waiting), "following": following}
