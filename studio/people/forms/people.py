"""Accounts, as a head or a teacher fills them in."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from studio.people.models import Role

_NO_CAPITALS = {"autocapitalize": "none", "autocomplete": "off", "spellcheck": "false"}


class NameForm(forms.Form):
    given_name = forms.CharField(label=_("Given name"), max_length=80)
    family_name = forms.CharField(label=_("Family name"), max_length=80, required=False)
    username = forms.CharField(
        label=_("Sign-in name"),
        max_length=150,
        required=False,
        help_text=_("Left empty, it is made from the name."),
        widget=forms.TextInput(attrs=_NO_CAPITALS),
    )
    sourced_id = forms.CharField(
        label=_("Id in the school's roster"),
        max_length=255,
        required=False,
        help_text=_("So that a roster import finds this person again."),
        widget=forms.TextInput(attrs=_NO_CAPITALS),
    )


class StaffForm(NameForm):
    role = forms.ChoiceField(
        label=_("Role"),
        choices=[
            (Role.TEACHER, _("teacher")),
            (Role.TECHNICIAN, _("technician: runs clay and kilns")),
            (Role.HEAD, _("head: also manages people and settings")),
        ],
    )

    field_order = ("role", "given_name", "family_name", "username", "sourced_id")


class PersonForm(NameForm):
    """Names of somebody who has them: the sign-in name can't be emptied."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].required = True
        self.fields["username"].help_text = ""
