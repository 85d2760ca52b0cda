"""Classes and their dates."""

from typing import Any

from django import forms
from django.utils.dates import WEEKDAYS
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from studio.people.calendar import (
    LONGEST_CYCLE,
    SCHOOL_WEEK,
    CyclePattern,
    Pattern,
    WeekdayPattern,
    pattern_from_json,
)
from studio.people.models import Section, User
from studio.people.selectors import teachers_of


def date_field(label: Any, **kwargs: Any) -> forms.DateField:
    """A date that the browser offers a calendar for, where it has one."""
    widget = forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})
    return forms.DateField(label=label, widget=widget, **kwargs)


def weekday_field(label: Any, **kwargs: Any) -> forms.TypedMultipleChoiceField:
    return forms.TypedMultipleChoiceField(
        label=label,
        choices=list(WEEKDAYS.items()),
        coerce=int,
        widget=forms.CheckboxSelectMultiple,
        **kwargs,
    )


class ClassForm(forms.Form):
    title = forms.CharField(label=_("Name"), max_length=120)
    code = forms.CharField(
        label=_("Short name"),
        max_length=12,
        required=False,
        help_text=_("Scratched into each pot, so a few letters."),
    )
    sourced_id = forms.CharField(
        label=_("Id in the school's roster"), max_length=255, required=False
    )
    archived = forms.BooleanField(
        label=_("This class is over"), required=False, help_text=_("Its work stays.")
    )
    teachers = forms.ModelMultipleChoiceField(
        label=_("Taught by"),
        queryset=User.objects.none(),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )

    def __init__(self, *args: Any, person: User, new: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if new:
            del self.fields["archived"]
        teachers = self.fields["teachers"]
        if person.is_head and person.studio and isinstance(teachers, forms.ModelChoiceField):
            teachers.queryset = teachers_of(person.studio)
        else:
            del self.fields["teachers"]


class _PatternForm(forms.Form):
    starts_on = date_field(_("First day"))
    ends_on = date_field(_("Last day"))

    def pattern(self) -> Pattern:
        raise NotImplementedError


class WeekdaysForm(_PatternForm):
    prefix = "weekdays"

    weekdays = weekday_field(
        _("The class meets on"), error_messages={"required": _("Choose at least one weekday.")}
    )

    def pattern(self) -> Pattern:
        return WeekdayPattern(frozenset(self.cleaned_data["weekdays"]))


class CycleForm(_PatternForm):
    prefix = "cycle"

    length = forms.IntegerField(
        label=_("Days in the cycle"), min_value=2, max_value=LONGEST_CYCLE, initial=6
    )
    meets_on = forms.CharField(
        label=_("The class meets on days"),
        max_length=80,
        help_text=_("Numbers with commas between, such as 1, 4."),
    )
    counts_from = date_field(
        _("A day that you know"), help_text=_("The cycle is counted from here, both ways.")
    )
    first_day = forms.IntegerField(
        label=_("Which day of the cycle that is"), min_value=1, max_value=LONGEST_CYCLE, initial=1
    )
    school_week = weekday_field(
        _("School days"),
        initial=sorted(SCHOOL_WEEK),
        help_text=_("The cycle waits on other days and on closed ones."),
        error_messages={"required": _("Choose at least one school day.")},
    )

    def clean_meets_on(self) -> frozenset[int]:
        parts = self.cleaned_data["meets_on"].replace(";", ",").replace(" ", ",").split(",")
        try:
            return frozenset(int(part) for part in parts if part)
        except ValueError:
            message = gettext("Type numbers with commas between, such as 1, 4.")
            raise forms.ValidationError(message) from None

    def pattern(self) -> Pattern:
        typed = self.cleaned_data
        return CyclePattern(
            length=typed["length"],
            meets_on=typed["meets_on"],
            counts_from=typed["counts_from"],
            first_day=typed["first_day"],
            school_week=frozenset(typed["school_week"]),
        )


def pattern_forms(section: Section, data: Any) -> tuple[WeekdaysForm, CycleForm]:
    """Both forms, filled with how the class's dates were made; the posted one is bound."""
    days: dict[str, Any] = {"starts_on": section.starts_on, "ends_on": section.ends_on}
    weekdays, cycle = dict(days), dict(days)
    match pattern_from_json(section.pattern):
        case WeekdayPattern() as kept:
            weekdays["weekdays"] = sorted(kept.weekdays)
        case CyclePattern() as kept:
            cycle |= {
                "length": kept.length,
                "meets_on": ", ".join(map(str, sorted(kept.meets_on))),
                "counts_from": kept.counts_from,
                "first_day": kept.first_day,
                "school_week": sorted(kept.school_week),
            }
    kind = data.get("kind") if data else None
    return (
        WeekdaysForm(data if kind == "weekdays" else None, initial=weekdays),
        CycleForm(data if kind == "cycle" else None, initial=cycle),
    )


class MeetingForm(forms.Form):
    on = date_field(_("Date"))
    note = forms.CharField(label=_("Note"), max_length=200, required=False)
