"""Places, and what is said of many pots at once."""

from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from studio.room.forms.fields import text
from studio.ware.models import Place, PlaceKind, Pot, Stage
from studio.ware.selectors import pots_by_code
from studio.web.columns import column, label
from studio.web.forms import offer


class PlaceForm(forms.Form):
    name = text(
        Place, "name", help_text=_("As it stands on its label: “Cart 2”, “Shelf by the window”.")
    )
    kind = forms.ChoiceField(label=label(column(Place, "kind")), choices=PlaceKind.choices)


class PotsForm(forms.Form):
    """Pots that were tapped, and codes that were typed; `chosen` after it was found valid."""

    pots = forms.ModelMultipleChoiceField(Pot.objects.none(), required=False)
    codes = forms.CharField(
        label=_("Or type codes"),
        help_text=_("As scratched into the base, with spaces between."),
        required=False,
        max_length=600,
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "characters"}),
    )

    def __init__(self, *args: Any, among: QuerySet[Pot], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._among = among
        self.chosen: list[Pot] = []
        offer(self, pots=among)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        read = pots_by_code(self._among, cleaned.get("codes", ""))
        if read.unknown:
            message = _("“%(code)s” is no pot that you can choose here. Read the base once more.")
            for code in read.unknown:
                self.add_error("codes", forms.ValidationError(message, params={"code": code[:20]}))
        picked = {pot.pk: pot for pot in [*cleaned.get("pots", ()), *read.pots]}
        self.chosen = list(picked.values())
        if not self.chosen and not self.errors:
            self.add_error(None, _("Tap at least one pot, or type its code."))
        return cleaned


class ManyStagesForm(PotsForm):
    stage = forms.ChoiceField(
        label=_("They are now"), choices=[("", _("choose a stage")), *Stage.choices]
    )
    reason = forms.CharField(
        label=_("Why"),
        required=False,
        max_length=400,
        help_text=_("For a step back, and for fired pots whose kiln isn't unloaded here."),
    )


class ManyDrynessForm(PotsForm):
    air_dry = forms.TypedChoiceField(
        label=_("By hand and by eye"),
        choices=(
            ("yes", _("Air dry: no chill on the cheek, no dark patch")),
            ("no", _("Not yet")),
        ),
        coerce=lambda said: said == "yes",
        widget=forms.RadioSelect,
    )
    note = forms.CharField(label=_("Note"), required=False, max_length=200)
