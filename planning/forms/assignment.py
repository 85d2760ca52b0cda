"""The dates of a class."""

from collections.abc import Sequence
from datetime import date
from typing import Any

from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from planning.models import Assignment, MilestoneKind
from planning.selectors.assignments import DatedStep
from studio.people.forms.classes import date_field
from studio.web.shown import day_text


class DatesForm(forms.Form):
    """A field for the first day, for each step in the order of the job, and for the last day."""

    def __init__(
        self, *args: Any, assignment: Assignment, steps: Sequence[DatedStep], **kwargs: Any
    ) -> None:
        initial: dict[str, date] = {step.kind: step.on for step in steps}
        initial |= {"given_on": assignment.given_on, "due_on": assignment.due_on}
        kwargs["initial"] = initial
        super().__init__(*args, **kwargs)
        hints = {step.kind: step_hint(step) for step in steps}
        self.fields["given_on"] = date_field(_("Given on"))
        for kind in MilestoneKind:
            self.fields[kind.value] = date_field(
                capfirst(kind.label), help_text=hints.get(kind.value, "")
            )
        self.fields["due_on"] = date_field(_("Due on"))

    def dates(self) -> dict[str, Any]:
        """As the service takes them."""
        cleaned = dict(self.cleaned_data)
        ends = {name: cleaned.pop(name) for name in ("given_on", "due_on")}
        return {**ends, "milestones": cleaned}


def step_hint(step: DatedStep) -> str:
    """Whether the class meets on the day."""
    on = day_text(step.on)
    if step.in_lesson:
        return gettext("%(day)s, a lesson.") % {"day": on}
    if step.lesson_before is None:
        return gettext("%(day)s.") % {"day": on}
    before = day_text(step.lesson_before)
    return gettext("%(day)s. The class doesn't meet then; the lesson before is %(before)s.") % {
        "day": on,
        "before": before,
    }
