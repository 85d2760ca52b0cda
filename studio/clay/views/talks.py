"""Safety talks of a class, and the rule whether clay waits for them."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from studio.clay.forms.talks import TalkForm
from studio.clay.selectors.talks import talk_comes_first, talks_of
from studio.clay.services import record_talk, set_talk_rule
from studio.people.access import STAFF, only, person_of, studio_of
from studio.people.models import Role, Section
from studio.web.shown import number_text

from .posting import posted


@only(*STAFF)
def talks(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Who has heard it, and one more talk."""
    by = person_of(request)
    section = get_object_or_404(Section.objects.visible_to(by), pk=pk)
    today = timezone.localdate()
    rows = talks_of(section)
    form = TalkForm(request.POST or None, initial={"on": today}, rows=rows, today=today)

    def act() -> dict[str, Any]:
        made = record_talk(
            students=list(form.cleaned_data["students"]),
            on=form.cleaned_data["on"],
            by=by,
            at=timezone.now(),
        )
        return {"made": len(made)}

    done = posted(request, form, act)
    if done is not None:
        message = ngettext(
            "Recorded for %(n)s student.", "Recorded for %(n)s students.", done["made"]
        )
        messages.success(request, message % {"n": number_text(done["made"])})
        return redirect("talks", pk)
    context = {
        "section": section,
        "form": form,
        "rows": rows,
        "untold": sum(1 for _student, on in rows if on is None),
        "talk_first": talk_comes_first(by.studio_id),
        "today": today,
    }
    return render(request, "clay/talks.html", context)


@only(Role.HEAD)
@require_POST
def talk_rule(request: HttpRequest) -> HttpResponse:
    """A head says whether clay waits for the talk."""
    by = person_of(request)
    first = request.POST.get("talk_first") == "yes"
    set_talk_rule(studio=studio_of(by), talk_first=first, by=by)
    message = _("Clay for pots now goes out without a safety talk on record.")
    if first:
        message = _("From now on a pot gets clay only when its student's safety talk is recorded.")
    messages.success(request, message)
    return redirect("clay_room")
