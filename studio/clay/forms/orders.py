"""How clay is sold, what is ordered, and what came of it."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from studio.clay.models import MOST_BAGS, Lot, Order, Pack
from studio.people.forms.classes import date_field
from studio.room.forms.fields import mass, text, whole
from studio.room.models import ClayBody
from studio.units.scales import Units
from studio.web.columns import column, label, limits
from studio.web.forms import offer

from .fields import MeasuredForm

BAG_HELP = _("As it is printed on the bag, in any unit: 25 lb, 12.5 kg.")


def _price(table: type[Pack] | type[Order], name: str) -> forms.DecimalField:
    field = column(table, name)
    least, most = limits(field)
    attrs = {"inputmode": "decimal", "autocomplete": "off", "maxlength": 20}
    return forms.DecimalField(
        label=label(field),
        min_value=least,
        max_value=most,
        decimal_places=2,
        required=False,
        widget=forms.TextInput(attrs=attrs),
    )


class PackForm(MeasuredForm):
    bag_g = mass(Pack, "bag_g", help_text=BAG_HELP)
    bags_in_box = whole(Pack, "bags_in_box", initial=2)
    sold_singly = forms.BooleanField(
        label=label(column(Pack, "sold_singly")), required=False, initial=True
    )
    bag_price = _price(Pack, "bag_price")
    box_price = _price(Pack, "box_price")
    currency = text(Pack, "currency")
    days_to_come = whole(Pack, "days_to_come", initial=14)

    def clean_bag_g(self) -> int:
        grams: float = self.cleaned_data["bag_g"]
        return round(grams)


class OrderForm(MeasuredForm):
    body = forms.ModelChoiceField(
        label=_("Clay body"), queryset=ClayBody.objects.none(), empty_label=_("Choose one")
    )
    bags = forms.IntegerField(
        label=_("Bags in all"),
        min_value=1,
        max_value=MOST_BAGS,
        help_text=_("Those in boxes too: four boxes of two are eight."),
    )
    bag_g = mass(Order, "bag_g", help_text=BAG_HELP)
    cost = _price(Order, "cost")
    currency = text(Order, "currency")
    note = text(Order, "note")
    ordered_on = date_field(_("Ordered on"))
    expected_on = date_field(_("Expected on"))

    def __init__(self, *args: Any, bodies: Any, units: Units, **kwargs: Any) -> None:
        super().__init__(*args, units=units, **kwargs)
        offer(self, body=bodies)


class CameForm(forms.Form):
    bags = forms.IntegerField(
        label=_("Bags that came"), min_value=1, max_value=MOST_BAGS, help_text=_("Count them.")
    )
    label = text(Lot, "label")
    came_on = date_field(_("Came on"))
