"""Which learned figure is taken over."""

from typing import Any

from django import forms

from studio.clay.services import Figure, Over


class TakeForm(forms.Form):
    """All of it is hidden behind one button; `seen_pct` is what stood on it."""

    over = forms.ChoiceField(choices=[(each.value, each.value) for each in Over])
    figure = forms.ChoiceField(choices=[(each.value, each.value) for each in Figure])
    seen_pct = forms.IntegerField()

    def clean_over(self) -> Any:
        return Over(self.cleaned_data["over"])

    def clean_figure(self) -> Any:
        return Figure(self.cleaned_data["figure"])
