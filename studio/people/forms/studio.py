"""The studio's settings, closures, rosters and tokens."""

import datetime
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext_lazy as _

from studio.people.models import ApiToken, LengthUnit, MassUnit, PaperSize
from studio.people.models.studio import time_zones

from .classes import date_field


def _time_zones() -> list[tuple[str, str]]:
    return [(name, name.replace("_", " ")) for name in sorted(time_zones())]


class SettingsForm(forms.Form):
    name = forms.CharField(label=_("Name"), max_length=120)
    time_zone = forms.ChoiceField(label=_("Time zone"), choices=_time_zones)
    length_unit = forms.ChoiceField(label=_("Lengths in"), choices=LengthUnit.choices)
    mass_unit = forms.ChoiceField(label=_("Clay in"), choices=MassUnit.choices)
    paper = forms.ChoiceField(label=_("Paper"), choices=PaperSize.choices)
    retention_years = forms.IntegerField(
        label=_("Years that work is kept"), min_value=1, max_value=30
    )


class ClosureForm(forms.Form):
    prefix = "closure"

    name = forms.CharField(label=_("What for"), max_length=80)
    starts_on = date_field(_("First day"))
    ends_on = date_field(_("Last day"))


class PaperForm(forms.Form):
    paper = forms.ChoiceField(label=_("Paper"), choices=PaperSize.choices)


class _SeveralFiles(forms.ClearableFileInput):
    allow_multiple_selected = True


class FilesField(forms.FileField):
    """One file or several, as a list; each is checked by itself."""

    widget = _SeveralFiles

    def clean(self, data: Any, initial: Any = None) -> list[UploadedFile[Any]]:
        if not data:
            super().clean(None, initial)  # says that a file is missing
        return [super(FilesField, self).clean(each, initial) for each in data]


class RosterForm(forms.Form):
    uploads = FilesField(
        label=_("Roster files"),
        error_messages={"required": _("Choose the roster's files.")},
    )


class TokenForm(forms.Form):
    name = forms.CharField(label=_("What it is for"), max_length=80)
    scope = forms.ChoiceField(label=_("May"), choices=ApiToken.Scope.choices)
    ends_at = date_field(_("Last day"), help_text=_("At most 400 days from now."))

    def clean_ends_at(self) -> datetime.date:
        day: datetime.date = self.cleaned_data["ends_at"]
        if not 1970 < day.year < 9999:  # noqa: PLR2004 -- the ends of the calendar have no zone
            raise forms.ValidationError(_("Choose an end date within the next 400 days."))
        return day
