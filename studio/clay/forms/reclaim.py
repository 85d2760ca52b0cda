"""Scrap goes out to dry and is weighed again as clay."""

from django import forms
from django.utils.translation import gettext_lazy as _

from studio.clay.models import Batch, Lot
from studio.people.forms.classes import date_field
from studio.room.forms.fields import text
from studio.web.fields import MassField

from .fields import MeasuredForm


class DryForm(MeasuredForm):
    prefix = "dry"

    taken_g = MassField(label=_("Put out to dry"), help_text=_("Its weight, wet as it is."))
    ready_on = date_field(
        _("Firm enough about"), help_text=_("A guess will do. It counts as clay on its way.")
    )


class _ReadyForm(MeasuredForm):
    """Scrap that is clay again, on the scale."""

    ready_g = MassField(
        label=_("Ready to use"),
        help_text=_("Its weight now, wedged or pugged to building stiffness."),
    )
    label = text(Lot, "label", label=_("A mark on the bag"))


class ReclaimForm(_ReadyForm):
    field_order = ("taken_g",)

    taken_g = MassField(
        label=_("Taken from what came back"), help_text=_("Its weight as it stood there.")
    )


class EndForm(_ReadyForm):
    prefix = "end"


class ThrowAwayForm(forms.Form):
    prefix = "away"

    reason = text(
        Batch,
        "reason",
        help_text=_("Such as: plaster in it; another body fell in; mould that won't leave."),
        required=True,
    )
