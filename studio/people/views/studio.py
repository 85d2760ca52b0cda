"""The studio's settings and closures, and a person's API tokens."""

from datetime import datetime, time
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from studio.errors import Refused
from studio.people.access import STAFF, only, person_of, studio_of
from studio.people.forms.studio import ClosureForm, SettingsForm, TokenForm
from studio.people.models import Closure, Role
from studio.people.services import add_closure, remove_closure, set_settings
from studio.people.tokens import end_token, make_token
from studio.web.refusals import show_refusal


@only(Role.HEAD)
def settings(request: HttpRequest) -> HttpResponse:
    by = person_of(request)
    studio = studio_of(by)
    now = {field: getattr(studio, field) for field in SettingsForm.base_fields}
    form = SettingsForm(request.POST or None, initial=now)
    if form.is_valid():
        try:
            set_settings(studio=studio, by=by, **form.cleaned_data)
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("The settings are kept."))
            return redirect("settings")
    return _settings_page(request, form, ClosureForm())


@only(Role.HEAD)
@require_POST
def closure_new(request: HttpRequest) -> HttpResponse:
    by = person_of(request)
    studio = studio_of(by)
    form = ClosureForm(request.POST)
    if form.is_valid():
        try:
            add_closure(studio=studio, by=by, today=timezone.localdate(), **form.cleaned_data)
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            messages.success(request, _("The classes' dates follow."))
            return redirect("settings")
    now = {field: getattr(studio, field) for field in SettingsForm.base_fields}
    return _settings_page(request, SettingsForm(initial=now), form)


@only(Role.HEAD)
@require_POST
def closure_end(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Take a closure out again; the classes' dates follow."""
    by = person_of(request)
    closure = get_object_or_404(Closure.objects.select_related("studio"), pk=pk, studio=by.studio)
    remove_closure(closure=closure, by=by, today=timezone.localdate())
    return redirect("settings")


@only(*STAFF)
@never_cache
def tokens(request: HttpRequest) -> HttpResponse:
    """Keys for programs: each is shown once, when it is made."""
    by, secret = person_of(request), None
    form = TokenForm(request.POST or None)
    if form.is_valid():
        typed = form.cleaned_data
        ends_at = datetime.combine(typed["ends_at"], time.max, timezone.get_current_timezone())
        try:
            _token, secret = make_token(
                person=by,
                name=typed["name"],
                scope=typed["scope"],
                ends_at=ends_at,
                at=timezone.now(),
            )
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            form = TokenForm()
    context = {"form": form, "secret": secret, "tokens": by.api_tokens.all()}
    return render(request, "people/tokens.html", context)


@only(*STAFF)
@require_POST
def token_end(request: HttpRequest, pk: UUID) -> HttpResponse:
    by = person_of(request)
    token = get_object_or_404(by.api_tokens.select_related("person__studio"), pk=pk)
    end_token(token=token, by=by)
    messages.success(request, _("“%(name)s” has ended.") % {"name": token.name})
    return redirect("tokens")


def _settings_page(
    request: HttpRequest, form: SettingsForm, closure_form: ClosureForm
) -> HttpResponse:
    studio = studio_of(person_of(request))
    context = {"form": form, "closure_form": closure_form, "closures": studio.closures.all()}
    return render(request, "people/settings.html", context)
