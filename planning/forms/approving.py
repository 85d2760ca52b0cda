from django import forms
from django.utils.translation import gettext_lazy as _


class DecisionForm(forms.Form):
    note = forms.CharField(
        label=_("A note to the student"),
        help_text=_("Needed when you send the plan back: say what to change."),
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
