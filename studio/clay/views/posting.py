"""How a page writes once: the form's key, and a refusal shown at its fields."""

from collections.abc import Callable
from functools import partial
from typing import Any

from django import forms
from django.http import HttpRequest

from studio.people.idempotency import once_or_shown
from studio.web.refusals import show_refusal


def posted(
    request: HttpRequest, form: forms.Form, act: Callable[[], dict[str, Any]]
) -> dict[str, Any] | None:
    """What `act` answered the first time; None where the form comes back with its reasons."""
    if not form.is_valid():
        return None
    return once_or_shown(request, act, partial(show_refusal, form))
