"""Deliveries, issues, returns, write-offs, corrections."""

from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from studio.clay.models import MOST_BAGS, Entry, Lot
from studio.people.forms.classes import date_field
from studio.people.models import Section, User
from studio.room.forms.fields import text
from studio.room.models import ClayBody
from studio.units.scales import Units
from studio.ware.models import Pot
from studio.web.fields import MassField
from studio.web.forms import offer

from .fields import AmountForm, LotField, MeasuredForm, offer_lots, part_field


class DeliveryForm(MeasuredForm):
    body = forms.ModelChoiceField(
        label=_("Clay body"), queryset=ClayBody.objects.none(), empty_label=_("Choose one")
    )
    bags = forms.IntegerField(
        label=_("Bags"),
        min_value=0,
        max_value=MOST_BAGS,
        required=False,
        help_text=_("Count the bags, not the boxes: a box mostly holds two."),
    )
    bag_g = MassField(
        label=_("One bag weighs"),
        required=False,
        help_text=_("As it is printed on the bag, in any unit: 25 lb, 12.5 kg."),
    )
    loose_g = MassField(
        label=_("Clay without bags"), required=False, help_text=_("Weighed, if any came.")
    )
    label = text(Lot, "label")
    came_on = date_field(_("Came on"))

    def __init__(self, *args: Any, by: User, units: Units, **kwargs: Any) -> None:
        super().__init__(*args, units=units, **kwargs)
        offer(self, body=ClayBody.objects.visible_to(by).in_use())

    def clean_bags(self) -> int:
        return self.cleaned_data["bags"] or 0

    def clean_loose_g(self) -> float:
        return self.cleaned_data["loose_g"] or 0.0


class IssueForm(AmountForm):
    """To a class or to a table; the pots of a class have a list of their own."""

    section = forms.ModelChoiceField(
        label=_("To the class"),
        queryset=Section.objects.none(),
        required=False,
        empty_label=_("No class: a table"),
    )
    table = text(Entry, "table", label=_("Or to the table"))
    lot = LotField(label=_("Out of"))
    part = part_field(widget=forms.RadioSelect, initial="")
    grams = MassField(label=_("Weight"), required=False)

    def __init__(self, *args: Any, by: User, units: Units, **kwargs: Any) -> None:
        super().__init__(*args, units=units, **kwargs)
        lots = Lot.objects.visible_to(by).to_issue().select_related("body", "studio")
        lots = lots.order_by("mixed", "came_on", "pk")
        offer(self, section=Section.objects.visible_to(by).current())
        offer_lots(self, lots)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        section, table = cleaned.get("section"), (cleaned.get("table") or "").strip()
        if section and table:
            self.add_error("table", gettext("One of the two: a class or a table."))
        elif not section and not table and not {"section", "table"} & self.errors.keys():
            self.add_error("section", gettext("Choose a class, or name a table."))
        return cleaned


class BucketForm(MeasuredForm):
    """The leftovers of a class at the end of a lesson."""

    prefix = "bucket"

    section = forms.ModelChoiceField(
        label=_("Class"), queryset=Section.objects.none(), empty_label=_("Choose one")
    )
    body = forms.ModelChoiceField(
        label=_("Clay body"), queryset=ClayBody.objects.none(), empty_label=_("Choose one")
    )
    grams = MassField(
        label=_("Weight without the bucket"), help_text=_("Weigh the empty bucket once.")
    )
    mixed = forms.BooleanField(
        label=_("Another clay body lies in it too"),
        help_text=_("Then choose above the one that fires lowest. It is kept apart, for practice."),
        required=False,
    )

    def __init__(self, *args: Any, by: User, units: Units, **kwargs: Any) -> None:
        super().__init__(*args, units=units, **kwargs)
        bodies = ClayBody.objects.visible_to(by).in_use()
        offer(self, section=Section.objects.visible_to(by).current(), body=bodies)
        if (first := bodies.first()) and "body" not in self.initial:
            self.initial["body"] = first.pk


class PotReturnForm(MeasuredForm):
    """Clay that comes back from one pot."""

    prefix = "pot"

    code = forms.CharField(
        label=_("Code of the pot"),
        max_length=12,
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "characters"}),
    )
    grams = MassField(label=_("Weight"))
    fit = forms.ChoiceField(
        label=_("The clay"),
        choices=(
            ("fit", _("is fit to use: back to the lot that it came from")),
            ("reclaim", _("is too dry or dirty: to be reclaimed")),
        ),
        initial="fit",
        widget=forms.RadioSelect,
    )

    def __init__(self, *args: Any, by: User, units: Units, **kwargs: Any) -> None:
        super().__init__(*args, units=units, **kwargs)
        self.by = by

    def clean_code(self) -> Pot:
        """Of those with this code the one that is alive; codes of classes that are over may be
        there twice.
        """
        code = self.cleaned_data["code"].strip().upper()
        pots = Pot.objects.visible_to(self.by).select_related(
            "studio", "piece__assignment__section", "plan"
        )
        found = [
            pot
            for pot in pots.filter(piece__code=code.partition("/")[0]).order_by(
                "piece__assignment__section__archived", "lost", "-number"
            )[:9]
            if "/" not in code or pot.code == code
        ]
        if not found:
            message = gettext(
                "No pot of yours has this code. Read it again: letter, digits, letter."
            )
            raise forms.ValidationError(message)
        return found[0]


class WriteOffForm(MeasuredForm):
    grams = MassField(label=_("Weight"))
    reason = text(
        Entry,
        "reason",
        label=_("What happened"),
        help_text=_("Such as: a bag burst and got wet; plaster in it; mixed with another body."),
        required=True,
    )


class CorrectForm(forms.Form):
    reason = text(
        Entry,
        "reason",
        label=_("What was wrong"),
        help_text=_("Such as: weighed with the bucket; wrong lot."),
        required=True,
    )
