"""What every answer carries, and the one place where a refusal becomes a page."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render

from studio.errors import Conflict, Problem, Refused
from studio.web.busy import busy_sentence, is_busy

# Pages load only what this service serves; drawings taken on the spot are blobs.
CONTENT_POLICY = (
    "default-src 'self'; img-src 'self' blob: data:; object-src 'none'; base-uri 'none'; "
    "form-action 'self'; frame-ancestors 'none'"
)


class PagePolicyMiddleware:
    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        response.headers.setdefault("Content-Security-Policy", CONTENT_POLICY)
        response.headers.setdefault("Permissions-Policy", "geolocation=(), microphone=()")
        return response


class RefusalMiddleware:
    """A `Refused` that no form caught, or a database that is held: a page with the sentences and
    the way back, or JSON."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, exception: Exception) -> HttpResponse | None:
        if isinstance(exception, Refused):
            status = 409 if isinstance(exception, Conflict) else 422
            problems = exception.problems
        elif is_busy(exception):
            status, problems = 503, [Problem(busy_sentence())]
        else:
            return None
        if request.headers.get("X-Requested-With") == "fetch":
            message = problems[0].message
            return JsonResponse({"ok": False, "message": message}, status=status)
        return render(request, "refused.html", {"problems": problems}, status=status)
