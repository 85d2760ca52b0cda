"""Signing in and choosing a password."""

from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from studio.people.models import User
from studio.people.names import SIGN_IN_NAME_LENGTH

LONGEST_PASSWORD = 200


def password_field(label: Any, autocomplete: str, **kwargs: Any) -> forms.CharField:
    """Spaces at the ends belong to a password; very long ones only cost hashing."""
    widget = forms.PasswordInput(attrs={"autocomplete": autocomplete})
    return forms.CharField(
        label=label, widget=widget, strip=False, max_length=LONGEST_PASSWORD, **kwargs
    )


class SignInForm(forms.Form):
    studio = forms.CharField(
        label=_("Studio"),
        max_length=40,
        required=False,
        help_text=_("Its short name, as on your sign-in card."),
        widget=forms.TextInput(attrs={"autocapitalize": "none", "autocomplete": "organization"}),
    )
    username = forms.CharField(
        label=_("Sign-in name"),
        max_length=SIGN_IN_NAME_LENGTH,
        widget=forms.TextInput(
            attrs={"autocapitalize": "none", "autocomplete": "username", "spellcheck": "false"}
        ),
    )
    password = password_field(_("Password"), "current-password")

    def __init__(self, *args: Any, ask_studio: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not ask_studio:
            del self.fields["studio"]


class PasswordForm(forms.Form):
    current = password_field(_("Current password"), "current-password")
    new = password_field(_("New password"), "new-password")
    again = password_field(_("New password, once more"), "new-password")

    def __init__(self, *args: Any, person: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if person.must_change_password:
            del self.fields["current"]
        # What the validators in the settings ask for, in one line.
        self.fields["new"].help_text = gettext(
            "At least 8 characters. Not your name, and not a password that many people use."
        )

    def clean(self) -> None:
        super().clean()
        new, again = self.cleaned_data.get("new"), self.cleaned_data.get("again")
        if new and again and new != again:
            self.add_error("again", gettext("The two passwords differ. Type the new one twice."))
