"""What pots are judged by: the studio's rubrics, and which one a class has."""

from uuid import UUID

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from assessments.forms.choosing import ChooseRubricForm
from assessments.forms.rubric import RubricForms
from assessments.models import Rubric, RubricVersion
from assessments.selectors.rubrics import (
    criteria_in,
    is_used,
    most_points,
    newest_version,
    rubric_rows,
    version_of,
    versions_to_choose,
    versions_with_uses,
)
from assessments.selectors.wording import points_text
from assessments.services.choosing_rubric import choose_rubric
from assessments.services.rubrics import (
    change_rubric,
    create_rubric,
    ensure_rubric,
    put_away_rubric,
    take_out_rubric,
    written_in,
)
from planning.models import Assignment
from studio.errors import Refused
from studio.people.access import TEACHING, only, person_of, studio_of
from studio.people.models import Role, User
from studio.web.refusals import show_refusal


@only(*TEACHING)
def rubrics(request: HttpRequest) -> HttpResponse:
    """The list; posted, it begins with the shipped one."""
    person = person_of(request)
    if request.method == "POST":
        ensure_rubric(studio=studio_of(person), at=timezone.now())
        return redirect("rubrics")
    context = {
        "rows": rubric_rows(person, archived=False),
        "put_away": rubric_rows(person, archived=True),
    }
    return render(request, "assessments/rubrics.html", context)


@only(*TEACHING)
@require_safe
def rubric(request: HttpRequest, pk: UUID) -> HttpResponse:
    """One rubric: its newest version, or with `?version=2` another one."""
    person = person_of(request)
    found = _rubric(person, pk)
    versions = versions_with_uses(found, person)
    asked = request.GET.get("version", "")
    shown = next((each for each in versions if str(each.number) == asked), versions[0])
    criteria = criteria_in([shown.pk])[shown.pk]
    context = {
        "rubric": found,
        "versions": versions,
        "shown": shown,
        "criteria": criteria,
        "most": points_text(most_points(criteria)),
        "today": timezone.localdate(),
    }
    return render(request, "assessments/rubric.html", context)


@only(*TEACHING)
def rubric_new(request: HttpRequest) -> HttpResponse:
    by = person_of(request)
    forms = RubricForms.posted(request.POST) if request.POST else RubricForms.of("", (), None)
    if _sent(request, forms):
        try:
            made = create_rubric(studio=studio_of(by), by=by, at=timezone.now(), **forms.written())
        except Refused as refusal:
            forms.show(refusal)
        else:
            messages.success(request, _("The rubric is kept. Choose it on a class's page."))
            return redirect("rubric", made.pk)
    return render(request, "assessments/rubric_new.html", {"forms": forms})


@only(*TEACHING)
def rubric_edit(request: HttpRequest, pk: UUID) -> HttpResponse:
    by = person_of(request)
    found = _rubric(by, pk)
    newest = newest_version(found)
    if request.POST:
        forms = RubricForms.posted(request.POST)
    else:
        forms = RubricForms.of(found.title, written_in(newest), newest.pk)
    if _sent(request, forms):
        seen = forms.title_form.cleaned_data["seen"] or newest.pk
        try:
            version = change_rubric(
                rubric=found, by=by, seen=seen, at=timezone.now(), **forms.written()
            )
        except Refused as refusal:
            forms.show(refusal)
        else:
            words = {"number": version.number}
            messages.success(request, _("Kept as version %(number)s.") % words)
            return redirect("rubric", pk)
    context = {"forms": forms, "rubric": found, "used": is_used(newest), "newest": newest}
    return render(request, "assessments/rubric_edit.html", context)


@only(*TEACHING)
@require_POST
def rubric_put_away(request: HttpRequest, pk: UUID) -> HttpResponse:
    by = person_of(request)
    put_away_rubric(rubric=_rubric(by, pk), by=by)
    messages.success(request, _("Put away. You find it below the list."))
    return redirect("rubrics")


@only(*TEACHING)
@require_POST
def rubric_take_out(request: HttpRequest, pk: UUID) -> HttpResponse:
    by = person_of(request)
    take_out_rubric(rubric=_rubric(by, pk), by=by)
    return redirect("rubrics")


@only(*TEACHING, Role.STUDENT)
def assignment_rubric(request: HttpRequest, pk: UUID) -> HttpResponse:
    """What a class is judged by, for its students too; its teachers choose it here."""
    person = person_of(request)
    if request.method == "POST" and not person.teaches:
        raise PermissionDenied
    seen = Assignment.objects.visible_to(person).select_related("section__studio")
    assignment = get_object_or_404(seen, pk=pk)
    version = version_of(assignment)
    form = None
    if person.teaches:
        form = _choosing(request, assignment, version)
        if form is None:
            return redirect("assignment_rubric", pk)
    context = {
        "assignment": assignment,
        "version": version,
        "criteria": criteria_in([version.pk])[version.pk] if version else [],
        "form": form,
    }
    return render(request, "assessments/assignment_rubric.html", context)


def _choosing(
    request: HttpRequest, assignment: Assignment, version: RubricVersion | None
) -> ChooseRubricForm | None:
    """The form that chooses, None once it has chosen."""
    by = person_of(request)
    if request.method == "POST" and version is None:
        ensure_rubric(studio=assignment.section.studio, at=timezone.now())
        return None
    versions = versions_to_choose(assignment.section.studio, version)
    posted = request.POST if request.method == "POST" else None
    form = ChooseRubricForm(posted, versions=versions, kept=version)
    if form.is_valid():
        try:
            choose_rubric(
                assignment=assignment,
                version=form.cleaned_data["version"],
                by=by,
                at=timezone.now(),
            )
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("This class is marked by this rubric now."))
            return None
    return form


def _sent(request: HttpRequest, forms: RubricForms) -> bool:
    """Whether the form was sent to be kept, and can be; a button for rows only changes it."""
    if request.method != "POST":
        return False
    if wanted := request.POST.get("change"):
        forms.change(wanted)
        return False
    return forms.is_valid()


def _rubric(person: User, pk: UUID) -> Rubric:
    seen = Rubric.objects.visible_to(person).select_related("studio")
    return get_object_or_404(seen, pk=pk)
