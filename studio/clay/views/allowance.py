"""What pots really took, against the allowance that briefs set."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from planning.models import Assignment, Brief
from studio.clay.allowance import LEAST_PIECES
from studio.clay.forms.allowance import TakeForm
from studio.clay.selectors.allowance import allowance_of
from studio.clay.selectors.allowance import allowances as allowances_of
from studio.clay.services import take_learned_allowance
from studio.errors import Refused
from studio.people.access import STAFF, TEACHING, only, person_of, studio_of
from studio.web.shown import percent_text


@only(*STAFF)
@require_safe
def allowances(request: HttpRequest) -> HttpResponse:
    """By clay body and brief: what is set, what was learned, and from how many pots."""
    person = person_of(request)
    context = {
        "bodies": allowances_of(studio_of(person), today=timezone.localdate()),
        "least": LEAST_PIECES,
        "teaching": person.teaches,
    }
    return render(request, "clay/allowances.html", context)


@only(*TEACHING)
def brief_allowance(request: HttpRequest, pk: UUID) -> HttpResponse:
    """One brief's; a click takes the figure over for classes that get the brief from now on."""
    by, today = person_of(request), timezone.localdate()
    seen = Brief.objects.visible_to(by).select_related("studio", "clay_body")
    brief = get_object_or_404(seen, pk=pk)
    if request.method == "POST":
        form = TakeForm(request.POST)
        if not form.is_valid():
            raise Refused(_("Choose one of the figures that are shown."))
        taken = take_learned_allowance(brief=brief, by=by, today=today, **form.cleaned_data)
        message = _("The working allowance of this brief is now %(pct)s.")
        messages.success(request, message % {"pct": percent_text(taken.working_allowance_pct)})
        return redirect("brief_allowance", pk)
    of_brief, of_body = allowance_of(brief, today=today)
    classes = Assignment.objects.visible_to(by).filter(brief=brief, section__archived=False)
    context = {
        "brief": brief,
        "of_brief": of_brief,
        "of_body": of_body,
        "least": LEAST_PIECES,
        "classes": classes.select_related("section").order_by("section__title", "pk"),
    }
    return render(request, "clay/brief_allowance.html", context)
