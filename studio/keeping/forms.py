"""A head's word before somebody is erased."""

from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from studio.people.models import User
from studio.people.models.person import UserQuerySet
from studio.web.forms import offer
from studio.web.shown import day_text


class SureForm(forms.Form):
    sure = forms.BooleanField(
        label=_("I have read this. Erase for good."),
        error_messages={"required": _("Tick this to erase. It can't be undone.")},
    )


class StudentsField(forms.ModelMultipleChoiceField["User"]):
    widget = forms.CheckboxSelectMultiple

    def label_from_instance(self, obj: Any) -> str:
        """`obj` comes from `students_past_keeping`."""
        return gettext("%(name)s, gone since %(day)s") % {
            "name": obj.name,
            "day": day_text(obj.last_day),
        }


class ChosenForm(SureForm):
    """Students from the list of those who are past keeping."""

    chosen = StudentsField(
        label=_("Students who left before then"),
        queryset=User.objects.none(),
        error_messages={"required": _("Tick the students to erase.")},
    )
    field_order = ("chosen", "sure")

    def __init__(self, *args: Any, students: UserQuerySet, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer(self, chosen=students)
