"""Which drawings are one idea, in a teacher's words."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from planning.models import IdeaChange, Thumbnail
from studio.web.forms import offer_choices


class IdeaChangeForm(forms.Form):
    thumbnails = forms.MultipleChoiceField(
        label=_("Drawings"),
        error_messages={"required": _("Tick the drawings first.")},
        widget=forms.CheckboxSelectMultiple,
    )
    reason = forms.CharField(
        label=_("Why?"),
        help_text=_("Kept with the piece. The student doesn't see it."),
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    kind = forms.ChoiceField(
        label=_("One idea or different ones"),
        choices=IdeaChange.Kind.choices,
        widget=forms.HiddenInput,
        error_messages={"required": _("Say whether these are one idea or different ones.")},
    )

    def __init__(self, *args: Any, thumbnails: Sequence[Thumbnail], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer_choices(self, thumbnails=[(str(e.pk), str(e.position)) for e in thumbnails])
