"""Sign in, sign out, choose a password."""

from django.contrib import messages
from django.contrib.auth import logout, update_session_auth_hash
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, redirect, render, resolve_url
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from studio.errors import Refused
from studio.people.access import person_of
from studio.people.addresses import address_of
from studio.people.backends import only_studio
from studio.people.forms.signing_in import PasswordForm, SignInForm
from studio.people.models import Studio
from studio.people.services import TooManyGuesses, check_sign_in, set_own_password
from studio.people.sessions import start_session
from studio.web.refusals import show_refusal


@never_cache
@sensitive_post_parameters("password")
@require_http_methods(["GET", "HEAD", "POST"])
def sign_in(request: HttpRequest, slug: str = "") -> HttpResponse:
    """Also under the studio's short name, as the sign-in cards print it."""
    studio = get_object_or_404(Studio, slug=slug.lower()) if slug else only_studio()
    form = SignInForm(request.POST or None, ask_studio=studio is None)
    wait_s = 0
    if form.is_valid():
        typed = form.cleaned_data
        now = timezone.now()
        try:
            person = check_sign_in(
                studio_slug=slug or typed.get("studio", ""),
                username=typed["username"],
                password=typed["password"],
                address=address_of(request.META.get("REMOTE_ADDR", "")),
                at=now,
            )
        except TooManyGuesses as refusal:
            show_refusal(form, refusal)
            wait_s = int(refusal.wait.total_seconds()) + 1
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            start_session(request, person, now)
            return HttpResponseRedirect(_next(request) or resolve_url("home"))
    context = {"form": form, "place": studio, "next": _next(request)}
    response = render(request, "people/sign_in.html", context, status=429 if wait_s else 200)
    if wait_s:
        response["Retry-After"] = str(wait_s)
    return response


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    logout(request)
    return redirect("sign_in")


@never_cache
@sensitive_post_parameters()
@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def password(request: HttpRequest) -> HttpResponse:
    """The person's own password; the first one has to be changed before anything else."""
    person = person_of(request)
    form = PasswordForm(request.POST or None, person=person)
    if form.is_valid():
        try:
            changed = set_own_password(
                person=person,
                current=form.cleaned_data.get("current"),
                new=form.cleaned_data["new"],
            )
        except Refused as refusal:
            show_refusal(form, refusal)
        else:
            # Other devices are signed out, this one stays.
            update_session_auth_hash(request, changed)
            messages.success(request, _("Your new password holds from now on."))
            return redirect("home")
    context = {"form": form, "first": person.must_change_password}
    return render(request, "people/password.html", context)


def _next(request: HttpRequest) -> str:
    """Where to go on, if that is a page of ours."""
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    safe = url_has_allowed_host_and_scheme(
        wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return wanted if safe else ""
