"""Glazes as their labels say."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from studio.room.cones import NAMES
from studio.room.models import Glaze
from studio.room.services.glazes import EDITABLE
from studio.web.columns import column, label

from .fields import text


def _cone(name: str) -> forms.ChoiceField:
    return forms.ChoiceField(
        label=label(column(Glaze, name)), choices=[("", "—"), *((each, each) for each in NAMES)]
    )


class GlazeForm(forms.Form):
    name = text(Glaze, "name")
    cone_from = _cone("cone_from")
    cone_to = _cone("cone_to")
    runs = forms.BooleanField(
        label=_("It runs"),
        required=False,
        help_text=_("Keep it higher above the foot, and the pot on a waste plate."),
    )
    food_statement = text(
        Glaze, "food_statement", help_text=_("Word for word, such as “dinnerware safe at cone 6”.")
    )
    hazard_note = text(Glaze, "hazard_note")


class LeachTestForm(forms.Form):
    leach_test = text(Glaze, "leach_test")


def glaze_initial(glaze: Glaze) -> dict[str, Any]:
    return {name: getattr(glaze, name) for name in EDITABLE}
