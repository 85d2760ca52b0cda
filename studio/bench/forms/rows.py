"""A row that stands, or doesn't after all."""

from django import forms


class RowForm(forms.Form):
    row = forms.IntegerField(min_value=1, max_value=300)
    do = forms.ChoiceField(choices=[("lay", "lay"), ("take_back", "take_back")])
