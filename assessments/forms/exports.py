"""What the school's gradebook may ask for."""

from django import forms
from django.utils.translation import gettext_lazy as _


class GradebookForm(forms.Form):
    grading_period = forms.CharField(
        label=_("Id of the grading period in the school's system"),
        required=False,
        max_length=255,
        help_text=_("Ask whoever keeps the gradebook. Many take the file without it."),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
