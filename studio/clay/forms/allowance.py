"""Which learned figure is taken over."""

from django import forms

from studio.clay.services import Figure, Over


class TakeForm(forms.Form):
    """All of it is hidden behind one button; `seen_pct` is what stood on it."""

    over = forms.TypedChoiceField(choices=[(each, each) for each in Over], coerce=Over)
    figure = forms.TypedChoiceField(choices=[(each, each) for each in Figure], coerce=Figure)
    seen_pct = forms.IntegerField()
