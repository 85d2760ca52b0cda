"""For which pots of a project labels are printed."""

from collections.abc import Collection, Sequence
from typing import Any
from uuid import UUID

from django import forms
from django.utils.translation import gettext_lazy as _

from planning.models import Piece
from studio.people.models import PaperSize


class BaseLabelsForm(forms.Form):
    """Sent by GET: it changes nothing."""

    which = forms.ChoiceField(
        label=_("Labels for"),
        choices=[
            ("class", _("the whole class")),
            ("approved", _("those with an approved plan")),
            ("ticked", _("those ticked below")),
        ],
        widget=forms.RadioSelect,
    )
    pieces = forms.MultipleChoiceField(
        label=_("Students"), required=False, widget=forms.CheckboxSelectMultiple
    )
    paper = forms.ChoiceField(label=_("Paper"), choices=PaperSize.choices)

    def __init__(
        self, *args: Any, pieces: Sequence[Piece], approved: Collection[UUID], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self._pieces, self._approved = pieces, approved
        field = self.fields["pieces"]
        if isinstance(field, forms.MultipleChoiceField):
            field.choices = [
                (str(piece.pk), f"{piece.student.short_name}, {piece.code}") for piece in pieces
            ]

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        which = cleaned.get("which")
        if which == "ticked" and not cleaned.get("pieces") and "pieces" not in self.errors:
            self.add_error("pieces", _("Tick at least one student, or choose the whole class."))
        if which == "approved" and not self._approved:
            self.add_error(
                "which", _("No plan is approved yet. Choose the whole class, or tick students.")
            )
        return cleaned

    def chosen(self) -> list[Piece]:
        """The pieces, in the order of the list."""
        match self.cleaned_data["which"]:
            case "approved":
                return [piece for piece in self._pieces if piece.pk in self._approved]
            case "ticked":
                ticked = set(self.cleaned_data["pieces"])
                return [piece for piece in self._pieces if str(piece.pk) in ticked]
        return list(self._pieces)
