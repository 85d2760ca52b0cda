"""Who heard the safety talk, and when."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from studio.people.forms.classes import date_field
from studio.people.models import Section, User

from .fields import offer


class _Students(forms.ModelMultipleChoiceField):  # type: ignore[type-arg]
    def label_from_instance(self, student: Any) -> str:
        return str(student.name)


class TalkForm(forms.Form):
    on = date_field(_("Held on"))
    students = _Students(
        label=_("Who was there"),
        queryset=User.objects.none(),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _("Tick whoever heard the talk.")},
    )

    def __init__(self, *args: Any, section: Section, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        students = User.objects.filter(
            enrolments__section=section, enrolments__left_on__isnull=True
        )
        offer(self, students=students.order_by("given_name", "family_name", "username"))
