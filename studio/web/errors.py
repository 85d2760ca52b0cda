"""Error pages that say what to do next."""

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.defaults import page_not_found

from .problems import CONTENT_TYPE


def csrf_failed(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form that went stale, mostly after signing in again in another tab."""
    return render(request, "403_csrf.html", status=403)


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """A page for people; for programs a problem document, also where no address is at all."""
    if not request.path.startswith("/api/"):
        return page_not_found(request, exception)
    body = {
        "type": "about:blank",
        "title": "Not Found",
        "status": 404,
        "detail": _("There is nothing at this address."),
    }
    return JsonResponse(body, status=404, content_type=CONTENT_TYPE)
