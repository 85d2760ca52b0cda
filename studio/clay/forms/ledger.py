"""Which part of the ledger is shown."""

from typing import Any
from urllib.parse import urlencode

from django import forms
from django.utils.translation import gettext_lazy as _

from studio.people.models import Section, User
from studio.room.models import ClayBody
from studio.web.forms import offer


class LedgerForm(forms.Form):
    body = forms.ModelChoiceField(
        label=_("Clay body"),
        queryset=ClayBody.objects.none(),
        required=False,
        empty_label=_("all"),
    )
    section = forms.ModelChoiceField(
        label=_("Class"), queryset=Section.objects.none(), required=False, empty_label=_("all")
    )
    code = forms.CharField(label=_("Code of a pot"), max_length=12, required=False)

    def __init__(self, *args: Any, by: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        sections = Section.objects.visible_to(by).order_by("archived", "title")
        offer(self, body=ClayBody.objects.visible_to(by), section=sections)

    def chosen(self) -> dict[str, Any]:
        """What to filter by; what can't be read filters nothing, and says so at its field."""
        self.is_valid()
        cleaned = getattr(self, "cleaned_data", {})
        return {name: cleaned[name] for name in self.fields if cleaned.get(name)}

    def query(self) -> str:
        """For the links to other pages of the same part."""
        chosen = self.chosen()
        return urlencode({name: getattr(value, "pk", value) for name, value in chosen.items()})
