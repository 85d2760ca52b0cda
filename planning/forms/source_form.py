"""A word on the list of source forms."""

from django import forms
from django.utils.translation import gettext_lazy as _

from planning.models import SourceForm
from studio.web.columns import column


class SourceFormForm(forms.Form):
    name = forms.CharField(
        label=_("Source form"),
        max_length=column(SourceForm, "name").max_length,
        help_text=_("Something natural that an idea can grow from, such as a seed pod."),
    )
