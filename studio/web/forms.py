"""How every form is drawn and speaks: our templates for a form and a field, our sentences."""

from collections.abc import Sequence
from typing import Any, cast

from django import forms
from django.db.models import QuerySet
from django.forms.renderers import TemplatesSetting
from django.utils.translation import gettext_lazy as _


class Renderer(TemplatesSetting):
    form_template_name = "forms/form.html"
    field_template_name = "forms/field.html"
    formset_template_name = "forms/formset.html"


def speak_plainly() -> None:
    """Give Django's own fields sentences that say the way out. Called once, when the app starts."""
    said: dict[type[forms.Field], dict[str, Any]] = {
        forms.Field: {"required": _("This can't stay empty.")},
        forms.IntegerField: {"invalid": _("This is not a whole number. Type digits such as 12.")},
        forms.DecimalField: {"invalid": _("This is not a number. Type one such as 12.5.")},
        forms.FloatField: {"invalid": _("This is not a number. Type one such as 12.5.")},
        forms.DateField: {"invalid": _("This is not a date. Type one such as 2024-03-14.")},
        forms.TimeField: {"invalid": _("This is not a time. Type one such as 13:45.")},
        forms.ChoiceField: {
            "invalid_choice": _("“%(value)s” is not on the list. Choose one that is.")
        },
        forms.MultipleChoiceField: {
            "invalid_choice": _("“%(value)s” is not on the list. Choose from it."),
            "invalid_list": _("Choose from the list."),
        },
        forms.ModelChoiceField: {
            "invalid_choice": _("This is not on the list, or not any more. Choose one that is.")
        },
        forms.ModelMultipleChoiceField: {
            "invalid_choice": _("“%(value)s” is not on the list, or not any more. Choose again."),
            "invalid_pk_value": _("“%(pk)s” is not on the list. Choose from it."),
            "invalid_list": _("Choose from the list."),
        },
        forms.FileField: {
            "required": _("No file was chosen. Choose at least one."),
            "invalid": _("No file arrived. Choose it once more."),
            "missing": _("No file arrived. Choose it once more."),
            "empty": _("This file is empty. Choose another."),
        },
    }
    for field, messages in said.items():
        field.default_error_messages = {**field.default_error_messages, **messages}


def offer(form: forms.BaseForm, **rows: QuerySet[Any]) -> None:
    """Which rows its select boxes offer, by field."""
    for name, offered in rows.items():
        cast("forms.ModelChoiceField[Any]", form.fields[name]).queryset = offered


def offer_choices(form: forms.BaseForm, **choices: Sequence[tuple[str, Any]]) -> None:
    """Which values its select boxes offer, each with its words, by field."""
    for name, offered in choices.items():
        cast("forms.ChoiceField", form.fields[name]).choices = offered
