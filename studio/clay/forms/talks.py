"""Who heard the safety talk, and when."""

from collections.abc import Sequence
from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from studio.people.forms.classes import date_field
from studio.people.models import User
from studio.web.forms import offer
from studio.web.shown import day_text

Heard = Sequence[tuple[User, date | None]]
"""Students, each with the day of the newest talk."""


class _Students(forms.ModelMultipleChoiceField):  # type: ignore[type-arg]
    """Each with the talk that is on record."""

    heard: dict[Any, str]

    def label_from_instance(self, student: Any) -> str:
        return f"{student.name}: {self.heard.get(student.pk, '')}"


class TalkForm(forms.Form):
    on = date_field(_("Held on"))
    students = _Students(
        label=_("Who was there"),
        help_text=_("Behind each name stands the newest talk on record."),
        queryset=User.objects.none(),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _("Tick whoever heard the talk.")},
    )

    def __init__(self, *args: Any, rows: Heard, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["students"]
        field.heard = {  # type: ignore[attr-defined]
            student.pk: day_text(on, today) if on else gettext("none yet") for student, on in rows
        }
        students = User.objects.filter(pk__in=[student.pk for student, _on in rows])
        offer(self, students=students.order_by("given_name", "family_name", "username"))
