"""Pots on the scale: the finished ones of a class, and one that dries."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from studio.errors import Refused
from studio.units.scales import Units
from studio.ware.models import Pot
from studio.ware.services import Weighed
from studio.web.fields import MassField, set_mass_units


class WeighBuiltForm(forms.Form):
    """One field a pot; those that stay empty aren't weighed."""

    def __init__(
        self, *args: Any, pots: Sequence[Pot], weighed: dict[Any, str], units: Units, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self._pots = {f"pot-{pot.pk.hex}": pot for pot in pots}
        for name, pot in self._pots.items():
            self.fields[name] = MassField(
                label=f"{pot.code}, {pot.piece.student.short_name}",
                help_text=weighed.get(pot.pk, ""),
                required=False,
                units=units,
            )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if not self.errors and not self.chosen():
            self.add_error(None, _("Type the weight of at least one pot."))
        return cleaned

    def chosen(self) -> list[Weighed]:
        return [Weighed(self._pots[name], self.cleaned_data[name]) for name in self._named()]

    def show(self, refusal: Refused) -> None:
        """Each reason at its pot."""
        named = self._named()
        for problem in refusal.problems:
            _rows, _dot, rest = problem.field.partition(".")
            number = rest.partition(".")[0]
            self.add_error(named[int(number)] if number.isdecimal() else None, problem.message)

    def _named(self) -> list[str]:
        return [name for name in self._pots if self.cleaned_data.get(name) is not None]


class WeighDryingForm(forms.Form):
    """One pot, unwrapped, on a scale whose steps are known."""

    grams = MassField(label=_lazy("Weight without its board"))
    step_g = forms.FloatField(
        label=_lazy("The scale shows steps of, grams"),
        help_text=_lazy("As it stands on the scale: 1, or 0.5. A thousandth of the pot must show."),
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
    )

    def __init__(self, *args: Any, units: Units, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        set_mass_units(self, units)
