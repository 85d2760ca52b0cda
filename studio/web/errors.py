"""Error pages that say what to do next."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


def csrf_failed(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form that went stale, mostly after signing in again in another tab."""
    return render(request, "403_csrf.html", status=403)
