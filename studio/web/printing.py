"""Prints as answers: on which paper, and as a PDF that opens in the browser."""

from collections.abc import Container
from datetime import date

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _

from studio.paper.pages import PAGES

from .shown import day_text


def paper_asked(request: HttpRequest, usual: str, papers: Container[str] = PAGES) -> str:
    """`?paper=letter`, one of `papers`; else the studio's usual paper."""
    asked = request.GET.get("paper", "")
    return asked if asked in papers else usual


def footer_text(whose: str, today: date) -> str:
    """At the foot of each page: whose it is, and of which day."""
    return _("%(studio)s · printed %(day)s") % {"studio": whose, "day": day_text(today)}


def pdf_answer(content: bytes, name: str) -> HttpResponse:
    """Names stand on it, so no cache keeps it."""
    response = HttpResponse(content, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    response["Cache-Control"] = "no-store, private"
    return response
