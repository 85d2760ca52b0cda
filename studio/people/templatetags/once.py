"""`{% once %}`: the hidden key by which a form's post counts once."""

from typing import Any

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from studio.people.idempotency import FIELD, fresh_key

register = template.Library()


@register.simple_tag(takes_context=True)
def once(context: dict[str, Any]) -> SafeString:
    """The key of the form as it was sent, else a fresh one, so that a form that comes back with
    an error keeps its key.
    """
    request = context.get("request")
    key = request.POST.get(FIELD, "") if request is not None else ""
    return format_html('<input type="hidden" name="{}" value="{}">', FIELD, key or fresh_key())
