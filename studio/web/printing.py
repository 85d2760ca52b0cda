"""Prints as answers: on which paper, and as a PDF that opens in the browser."""

from django.http import HttpRequest, HttpResponse

from studio.paper.pages import PAGES


def paper_asked(request: HttpRequest, usual: str) -> str:
    """`?paper=letter` or `?paper=a4`, else the studio's usual paper."""
    asked = request.GET.get("paper", "")
    return asked if asked in PAGES else usual


def pdf_answer(content: bytes, name: str) -> HttpResponse:
    """Names stand on it, so no cache keeps it."""
    response = HttpResponse(content, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    response["Cache-Control"] = "no-store, private"
    return response
