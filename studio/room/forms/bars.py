"""Test bars: several new ones at once, those that wait for their measures, and one put right."""

from collections.abc import Mapping, Sequence
from typing import Any
from uuid import UUID

from django import forms
from django.forms import BaseFormSet, formset_factory
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from studio.errors import Problem, Refused
from studio.room.measuring import GRAMS, BarLengthField, BarMassField
from studio.room.models import ShrinkageBar
from studio.room.services.bars import EDITABLE, MOST_AT_ONCE
from studio.units.scales import Units
from studio.web.columns import column, label, limits
from studio.web.fields import set_units
from studio.web.refusals import show_refusal

from .fields import text
from .rows import RowForm, filled_rows

LENGTHS = ("wet_mm", "dry_mm", "fired_mm")
MASSES = ("wet_g", "dry_g", "fired_g")


def _length(name: str, **kwargs: Any) -> BarLengthField:
    field = column(ShrinkageBar, name)
    least, most = limits(field)
    given = {"label": label(field), "at_least": least, "at_most": most, "required": False}
    return BarLengthField(**given | kwargs)


def _mass(name: str) -> BarMassField:
    field = column(ShrinkageBar, name)
    least, most = limits(field)
    return BarMassField(
        units=GRAMS, label=label(field), at_least=least, at_most=most, required=False
    )


def _cone() -> forms.CharField:
    return text(ShrinkageBar, "cone", help_text=_("The witness cone that bent, such as 06 or 6."))


def _day() -> forms.DateField:
    return forms.DateField(
        label=label(column(ShrinkageBar, "made_on")),
        widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
    )


class BarRow(RowForm):
    """What can be measured of one bar."""

    wet_mm = _length("wet_mm")
    dry_mm = _length("dry_mm")
    fired_mm = _length("fired_mm")
    wet_g = _mass("wet_g")
    dry_g = _mass("dry_g")
    fired_g = _mass("fired_g")

    def __init__(self, *args: Any, units: Units, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        set_units(self, units)

    @property
    def filled(self) -> bool:
        return any(self.cleaned_data.get(name) is not None for name in (*LENGTHS, *MASSES))

    def lengths(self) -> list[forms.BoundField]:
        return [self[name] for name in LENGTHS if name in self.fields]

    def masses(self) -> list[forms.BoundField]:
        return [self[name] for name in MASSES if name in self.fields]

    @property
    def masses_open(self) -> bool:
        """Whether a mass is typed or refused, so that its fields are not folded away."""
        return any(field.errors or field.value() for field in self.masses())


class NewBarRow(BarRow):
    mark = text(ShrinkageBar, "mark", required=False, label=_("Bar"))

    @property
    def name(self) -> str:
        return gettext("Bar %(mark)s") % {"mark": self["mark"].value() or ""}

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if self.filled and cleaned.get("wet_mm") is None and "wet_mm" not in self.errors:
            self.add_error("wet_mm", gettext("How far apart were the marks in the wet clay?"))
        return cleaned


class WaitingBarRow(BarRow):
    """A bar in the log: only what wasn't measured yet is asked."""

    def __init__(self, *args: Any, bar: ShrinkageBar, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.bar = bar
        for name in (*LENGTHS, *MASSES):
            if getattr(bar, name) is not None:
                del self.fields[name]

    @property
    def name(self) -> str:
        return gettext("Bar %(mark)s") % {"mark": self.bar.mark}


class NewBarsForm(forms.Form):
    """What the bars of one making have in common."""

    made_on = _day()
    cone = _cone()


class FiringForm(forms.Form):
    cone = _cone()


class BarForm(BarRow):
    """One bar of the log with everything that can be put right."""

    mark = text(ShrinkageBar, "mark")
    made_on = _day()
    wet_mm = _length("wet_mm", required=True)
    cone = _cone()
    left_out = text(ShrinkageBar, "left_out")
    field_order = (*("mark", "made_on", *LENGTHS, "cone", *MASSES, "left_out"),)


NewBars: type[BaseFormSet[NewBarRow]] = formset_factory(
    NewBarRow, extra=0, max_num=MOST_AT_ONCE, validate_max=True, absolute_max=MOST_AT_ONCE + 1
)


def new_bars(data: Any, *, units: Units, marks: Sequence[str]) -> "BaseFormSet[NewBarRow]":
    """Empty rows, one for each of these marks."""
    initial = [{"mark": mark} for mark in marks]
    return NewBars(data, initial=initial, prefix="bars", form_kwargs={"units": units})


def waiting_rows(data: Any, *, units: Units, bars: Sequence[ShrinkageBar]) -> list[WaitingBarRow]:
    """One row a bar, found again by its id, so that a bar fired meanwhile shifts none."""
    return [WaitingBarRow(data, prefix=f"bar-{bar.pk}", units=units, bar=bar) for bar in bars]


def bars_from(form: NewBarsForm, rows: Sequence[NewBarRow]) -> list[dict[str, Any]]:
    """The filled rows for `add_bars`. Both are valid. An unfired bar has no cone yet."""
    given = form.cleaned_data
    return [
        row.cleaned_data
        | {
            "made_on": given["made_on"],
            "cone": given["cone"] if row.cleaned_data["fired_mm"] is not None else "",
        }
        for row in filled_rows(rows)
    ]


def measured_from(form: FiringForm, rows: Sequence[WaitingBarRow]) -> dict[UUID, dict[str, Any]]:
    """The filled rows for `measure_bars`."""
    measured = {}
    for row in rows:
        if row.filled:
            values = {name: value for name, value in row.cleaned_data.items() if value is not None}
            fired = {"cone": form.cleaned_data["cone"]} if "fired_mm" in values else {}
            measured[row.bar.pk] = values | fired
    return measured


def bar_initial(bar: ShrinkageBar) -> Mapping[str, Any]:
    return {name: getattr(bar, name) for name in EDITABLE}


def show_bar_refusal(form: forms.Form, rows: Sequence[RowForm], refusal: Refused) -> None:
    """A reason such as `bars.2.dry_mm` at the third filled row, at the page's own field where the
    bars have it in common, else at the row as a whole.
    """
    others: list[Problem] = []
    for problem in refusal.problems:
        first, place, name = ([*problem.field.split("."), "", ""])[:3]
        if first != "bars" or not place.isdecimal() or int(place) >= len(rows):
            others.append(problem)
        elif name in form.fields:
            if problem.message not in form.errors.get(name, ()):
                form.add_error(name, problem.message)
        else:
            row = rows[int(place)]
            row.add_error(name if name in row.fields else None, problem.message)
    if others:
        show_refusal(form, Refused.all_of(others))
