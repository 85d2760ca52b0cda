"""A row that stands, or doesn't after all."""

from django import forms

from planning.rows.choices import MOST_ROWS


class RowForm(forms.Form):
    row = forms.IntegerField(min_value=1, max_value=MOST_ROWS)
    do = forms.ChoiceField(choices=[("lay", "lay"), ("take_back", "take_back")])
