"""Each request runs in the person's studio: its time zone, and the first-password rule."""

from collections.abc import Callable

from django.contrib.auth import logout
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone

from .sessions import session_is_over

# A person with a first password reaches these and nothing else.
ALLOWED_BEFORE_FIRST_PASSWORD = {"password", "sign_out", "safety"}


class StudioMiddleware:
    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.user.is_authenticated and session_is_over(request, timezone.now()):
            logout(request)
        person = request.user
        if person.is_authenticated and person.studio is not None:
            timezone.activate(person.studio.zone)
        else:
            timezone.deactivate()
        response = self.get_response(request)
        if person.is_authenticated and person.is_student:
            # Devices are shared: nothing of a student's stays in a browser's cache.
            response.headers.setdefault("Cache-Control", "no-store, private")
        return response

    def process_view(self, request: HttpRequest, *_: object, **__: object) -> HttpResponse | None:
        person = request.user
        if not (person.is_authenticated and person.must_change_password):
            return None
        if request.path.startswith("/api/"):
            return None  # refused there, as a problem document
        match = request.resolver_match
        if match is not None and match.url_name in ALLOWED_BEFORE_FIRST_PASSWORD:
            return None
        return redirect("password")
