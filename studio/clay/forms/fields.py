"""Fields that several forms of the clay room share."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext, gettext_lazy

from studio.clay.models import BagPart, Lot
from studio.clay.wording import lot_line
from studio.units.scales import Units
from studio.web.fields import set_mass_units
from studio.web.forms import offer

BY_WEIGHT = ""


class MeasuredForm(forms.Form):
    """A form whose weights are in the studio's unit."""

    def __init__(self, *args: Any, units: Units, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.units = units
        set_mass_units(self, units)


class LotField(forms.ModelChoiceField):  # type: ignore[type-arg]
    """A lot to take from: what it is, how much is left, and what its bags weigh."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(queryset=Lot.objects.none(), **kwargs)

    def label_from_instance(self, lot: Any) -> str:
        return lot_line(lot)


def offer_lots(form: forms.Form, lots: QuerySet[Lot]) -> None:
    """Which lots its field `lot` offers; the first is chosen."""
    offer(form, lot=lots)
    if first := lots.first():
        form.fields["lot"].empty_label = None  # type: ignore[attr-defined]
        form.fields["lot"].initial = first.pk


def part_field(**kwargs: Any) -> forms.ChoiceField:
    """By weight, or a part of a bag."""
    choices: Sequence[tuple[str, Any]] = [
        (BY_WEIGHT, gettext_lazy("by weight")),
        *BagPart.choices,
    ]
    return forms.ChoiceField(
        label=gettext_lazy("How much"), choices=choices, required=False, **kwargs
    )


class AmountForm(MeasuredForm):
    """Has `part`, `grams` and what `_lot()` says: a weight, or a part of a bag of that lot."""

    def _lot(self) -> Lot | None:
        found: Lot | None = self.cleaned_data.get("lot")
        return found

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("part"):
            self._from_a_bag(cleaned)
        elif cleaned.get("grams") is None and "grams" not in self.errors:
            self.add_error("grams", gettext("Type a weight, or choose a part of a bag."))
        return cleaned

    def _from_a_bag(self, cleaned: dict[str, Any]) -> None:
        self.errors.pop("grams", None)
        lot = self._lot()
        if lot is None:
            return
        cleaned["grams"] = lot.part_g(BagPart(cleaned["part"]))
        if cleaned["grams"] is None:
            self.add_error("part", gettext("This lot is not in bags. Type a weight."))
