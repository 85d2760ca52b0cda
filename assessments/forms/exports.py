"""What the school's gradebook may ask for."""

from django import forms
from django.utils.translation import gettext_lazy as _

from assessments.sheets.cells import safe


class GradebookForm(forms.Form):
    grading_period = forms.CharField(
        label=_("Id of the grading period in the school's system"),
        required=False,
        max_length=255,
        help_text=_("Ask whoever keeps the gradebook. Many take the file without it."),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    def clean_grading_period(self) -> str:
        """It goes into the file as it is, since an id with an apostrophe is another id."""
        period = str(self.cleaned_data["grading_period"])
        if safe(period) != period:
            message = _("An id can't begin with “%(sign)s”: a spreadsheet would run it.")
            raise forms.ValidationError(message, params={"sign": period[0]})
        return period
