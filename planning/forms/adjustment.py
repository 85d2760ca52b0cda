"""What differs for one student: own least counts and own dates."""

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from django import forms
from django.forms.boundfield import BoundField
from django.utils.text import capfirst
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from planning.models import Adjustment, Assignment, MilestoneKind
from planning.selectors.assignments import milestones_of
from planning.services.adjustments import MOST, OWN_COUNTS
from studio.people.forms.classes import date_field
from studio.web.columns import column, label
from studio.web.shown import day_text, number_text


class AdjustmentForm(forms.Form):
    """An empty field is as for the class; each says what that is."""

    private_reason = forms.CharField(
        label=_("Private reason"),
        max_length=column(Adjustment, "private_reason").max_length,
        widget=forms.Textarea,
        help_text=_(
            "Only teachers of this class and heads read it. The student, other students and "
            "technicians never do."
        ),
    )

    def __init__(
        self,
        *args: Any,
        assignment: Assignment,
        adjustment: Adjustment | None,
        own: Mapping[str, date],
        **kwargs: Any,
    ) -> None:
        counts = {name: getattr(adjustment, name, None) for name in OWN_COUNTS}
        reason = {"private_reason": adjustment.private_reason if adjustment else ""}
        kwargs["initial"] = {**counts, **own, **reason} | (kwargs.get("initial") or {})
        super().__init__(*args, **kwargs)
        for name in OWN_COUNTS:
            self.fields[name] = _count(assignment, name)
        self.kinds = []
        for milestone in milestones_of(assignment):
            hint = gettext("The class: %(day)s.") % {"day": day_text(milestone.on)}
            title = capfirst(MilestoneKind(milestone.kind).label)
            self.fields[milestone.kind] = date_field(title, help_text=hint, required=False)
            self.kinds.append(milestone.kind)

    def count_fields(self) -> Iterator[BoundField]:
        return (self[name] for name in OWN_COUNTS)

    def date_fields(self) -> Iterator[BoundField]:
        return (self[kind] for kind in self.kinds)

    def adjusted(self) -> dict[str, Any]:
        """As the service takes it."""
        return {
            "counts": {name: self.cleaned_data[name] for name in OWN_COUNTS},
            "dates": {kind: self.cleaned_data[kind] for kind in self.kinds},
            "private_reason": self.cleaned_data["private_reason"],
        }


def _count(assignment: Assignment, name: str) -> forms.IntegerField:
    of_class = number_text(getattr(assignment, name))
    return forms.IntegerField(
        label=label(column(Assignment, name)),
        help_text=gettext("The class: %(n)s.") % {"n": of_class},
        min_value=0,
        max_value=MOST,
        required=False,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
    )
