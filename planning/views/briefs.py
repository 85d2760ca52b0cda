"""Briefs: the list, one of them, and giving it to classes."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST, require_safe

from planning.forms.brief import BriefForm, CopyForm, GiveForm
from planning.models import Brief
from planning.selectors.briefs import (
    assignments_of_brief,
    brief_rows,
    cautions,
    classes_to_give,
)
from planning.services.briefs import (
    copy_brief,
    create_brief,
    edit_brief,
    put_away_brief,
    take_out_brief,
)
from planning.services.briefs import (
    give_brief as give,
)
from studio.errors import Refused
from studio.people.access import TEACHING, only, person_of, studio_of
from studio.room.models import ClayBody
from studio.web.refusals import show_refusal


@only(*TEACHING)
@require_safe
def briefs(request: HttpRequest) -> HttpResponse:
    person = person_of(request)
    context = {
        "rows": brief_rows(person, archived=False),
        "put_away": brief_rows(person, archived=True),
    }
    return render(request, "planning/briefs.html", context)


@only(*TEACHING)
def brief_new(request: HttpRequest) -> HttpResponse:
    by = person_of(request)
    form = BriefForm(request.POST or None, studio=studio_of(by), brief=None)
    if form.is_valid():
        try:
            made = create_brief(
                studio=studio_of(by),
                by=by,
                title=form.cleaned_data["title"],
                terms=form.terms(),
                at=timezone.now(),
            )
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("The brief is kept. Give it to your classes from here."))
            return redirect("brief", made.pk)
    clay = ClayBody.objects.visible_to(by).in_use().exists()
    return render(request, "planning/brief_new.html", {"form": form, "clay": clay})


@only(*TEACHING)
@require_safe
def brief(request: HttpRequest, pk: UUID) -> HttpResponse:
    person = person_of(request)
    found = _brief(request, pk)
    context = {
        "brief": found,
        "assignments": assignments_of_brief(found, person),
        "cautions": cautions(found),
        "can_give": not found.archived and not found.clay_body.retired,
        "copy_form": CopyForm(initial={"title": found.title}),
        "today": timezone.localdate(),
    }
    return render(request, "planning/brief.html", context)


@only(*TEACHING)
def brief_edit(request: HttpRequest, pk: UUID) -> HttpResponse:
    by = person_of(request)
    found = _brief(request, pk)
    form = BriefForm(request.POST or None, studio=studio_of(by), brief=found)
    if form.is_valid():
        try:
            edit_brief(brief=found, by=by, title=form.cleaned_data["title"], terms=form.terms())
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("Kept. Classes that have this brief keep their terms."))
            return redirect("brief", pk)
    context = {"form": form, "brief": found, "given": found.assignments.exists()}
    return render(request, "planning/brief_edit.html", context)


@only(*TEACHING)
@require_POST
def brief_copy(request: HttpRequest, pk: UUID) -> HttpResponse:
    """A new brief with the same terms, open for changes."""
    found = _brief(request, pk)
    form = CopyForm(request.POST)
    if not form.is_valid():
        raise Refused(_("Give the copy a name, at most 120 characters long."))
    title = form.cleaned_data["title"]
    copy = copy_brief(brief=found, by=person_of(request), title=title, at=timezone.now())
    messages.success(request, _("This is the copy. Change what is different this time."))
    return redirect("brief_edit", copy.pk)


@only(*TEACHING)
@require_POST
def brief_put_away(request: HttpRequest, pk: UUID) -> HttpResponse:
    found = put_away_brief(brief=_brief(request, pk), by=person_of(request))
    message = _("“%(title)s” is put away. You find it below the list.")
    messages.success(request, message % {"title": found.title})
    return redirect("briefs")


@only(*TEACHING)
@require_POST
def brief_take_out(request: HttpRequest, pk: UUID) -> HttpResponse:
    found = take_out_brief(brief=_brief(request, pk), by=person_of(request))
    return redirect("brief", found.pk)


@only(*TEACHING)
def give_brief(request: HttpRequest, pk: UUID) -> HttpResponse:
    """To several classes at once, each with its own dates and pieces."""
    by = person_of(request)
    found = _brief(request, pk)
    classes = classes_to_give(found, by)
    initial = {"given_on": timezone.localdate()}
    form = GiveForm(request.POST or None, classes=classes, initial=initial)
    if form.is_valid():
        try:
            given = give(brief=found, by=by, at=timezone.now(), **form.cleaned_data)
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            text = ngettext(
                "%(n)d class has it. Look at the dates that were proposed.",
                "%(n)d classes have it. Look at the dates that were proposed for each.",
                len(given),
            )
            messages.success(request, text % {"n": len(given)})
            return redirect("brief", pk)
    context = {"form": form, "brief": found, "classes": len(classes)}
    return render(request, "planning/give_brief.html", context)


def _brief(request: HttpRequest, pk: UUID) -> Brief:
    seen = Brief.objects.visible_to(person_of(request))
    return get_object_or_404(seen.select_related("studio", "clay_body", "by"), pk=pk)
