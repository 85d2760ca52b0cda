"""One lump on the scale: whose, out of which lot, how much."""

from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from planning.models import Piece
from studio.clay.models import Lot
from studio.clay.selectors.issue_list import IssueLine, line_of
from studio.clay.selectors.scales import piece_at_scales
from studio.clay.services import IssueRow
from studio.errors import Refused
from studio.people.models import User
from studio.units.scales import Units
from studio.web.fields import MassField

from .fields import AmountForm, LotField, offer_lots, part_field
from .issue_list import so_much_question


class ScalesForm(AmountForm):
    code = forms.CharField(
        label=_("Code"),
        help_text=_("Typed as it is scratched in, or scanned from a label or a bench card."),
        max_length=200,
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "characters"}),
    )
    grams = MassField(label=_("Weight"), required=False)
    part = part_field()
    lot = LotField(label=_("Out of"))
    so_much = forms.BooleanField(
        label=_("So much is meant"), required=False, widget=forms.HiddenInput
    )

    def __init__(
        self, *args: Any, by: User, units: Units, line: IssueLine | None, **kwargs: Any
    ) -> None:
        super().__init__(*args, units=units, **kwargs)
        self._by, self.line = by, line
        lots = Lot.objects.visible_to(by).for_pots().select_related("body", "studio")
        if line is not None:
            lots = lots.filter(body=line.piece.assignment.clay_body_id)
            self.fields["grams"].widget.attrs["autofocus"] = True
        else:
            self.fields["code"].widget.attrs["autofocus"] = True
        offer_lots(self, lots)
        if (asked := self.initial.get("lot")) and not lots.filter(pk=asked).exists():
            del self.initial["lot"]

    def clean_code(self) -> Piece:
        piece = piece_at_scales(self._by, self.cleaned_data["code"])
        if piece is None:
            message = gettext(
                "No piece of yours has this code. Read it again: letter, digit, digit, letter."
            )
            raise forms.ValidationError(message)
        self.line = line_of(piece, today=timezone.localdate())
        return piece

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if self.line and cleaned.get("grams") and not cleaned.get("so_much"):
            question = so_much_question(self.line, cleaned["grams"], self.units)
            if question:
                self.fields["so_much"].widget = forms.CheckboxInput()
                self.add_error("so_much", question)
        return cleaned

    @property
    def has_lots(self) -> bool:
        """Whether there is clay to hand out: the first lot of it is chosen."""
        return self.fields["lot"].initial is not None

    @property
    def was_scanned(self) -> bool:
        """Whose it is stands there, and nothing else yet: a scanner sends the form by itself."""
        said = [self.data.get(name, "").strip() for name in ("grams", "part")]
        return "code" in self.cleaned_data and not any(said)

    def row(self) -> IssueRow:
        values = self.cleaned_data
        return IssueRow(piece=values["code"], lot=values["lot"], grams=values["grams"])

    def show(self, refusal: Refused) -> None:
        """Each reason at its field."""
        fields = {"rows.0.piece": "code", "rows.0.lot": "lot", "rows.0.grams": "grams"}
        for problem in refusal.problems:
            self.add_error(fields.get(problem.field), problem.message)
