"""A firing program: its name, and one row of fields for each segment."""

from typing import Any

from django import forms
from django.forms import BaseFormSet, formset_factory
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from studio.kilns.heat.program import MOST_SEGMENTS
from studio.kilns.models import Firing, Program
from studio.room.forms.fields import text
from studio.room.forms.rows import RowForm, filled_rows
from studio.web.columns import column, label


def _figure(name: Any, **kwargs: Any) -> forms.FloatField:
    attrs = {"inputmode": "decimal", "autocomplete": "off", "maxlength": 20}
    return forms.FloatField(label=name, widget=forms.TextInput(attrs=attrs), **kwargs)


class ProgramForm(forms.Form):
    name = text(Program, "name", help_text=_("Say what for and to which cone."))
    firing = forms.ChoiceField(
        label=label(column(Program, "firing")), choices=Firing.choices, widget=forms.RadioSelect
    )
    start_c = _figure(
        label(column(Program, "start_c")), initial=20, help_text=_("The temperature of the room.")
    )
    note = text(
        Program,
        "note",
        widget=forms.Textarea,
        help_text=_("Such as: vent on, spy plugs in at 600 °C."),
    )


class SegmentForm(RowForm):
    rate_c_per_h = _figure(_("Rate, °C an hour"), required=False)
    target_c = _figure(_("To, °C"), required=False)
    hold_min = _figure(_("Hold there, minutes"), required=False)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if not any(value is not None for value in cleaned.values()):
            return cleaned
        if cleaned.get("rate_c_per_h") is None and "rate_c_per_h" not in self.errors:
            self.add_error("rate_c_per_h", gettext("How many degrees an hour?"))
        if cleaned.get("target_c") is None and "target_c" not in self.errors:
            self.add_error("target_c", gettext("Up or down to which temperature?"))
        return cleaned | {"hold_min": cleaned.get("hold_min") or 0.0}


SegmentsFormSet: type[BaseFormSet[SegmentForm]] = formset_factory(
    SegmentForm, extra=2, max_num=MOST_SEGMENTS, validate_max=True, absolute_max=MOST_SEGMENTS + 2
)


def program_from(form: ProgramForm, rows: "BaseFormSet[SegmentForm]") -> dict[str, Any]:
    """What the service takes. Both are valid."""
    segments = [row.cleaned_data for row in filled_rows(rows.forms)]
    return form.cleaned_data | {"segments": segments}


def program_initial(program: Program) -> dict[str, Any]:
    return {
        "name": program.name,
        "firing": program.firing,
        "start_c": f"{program.start_c:g}",
        "note": program.note,
    }


def segments_initial(program: Program) -> list[dict[str, Any]]:
    """60.0 is typed as 60; no hold is left empty."""
    return [
        {name: f"{value:g}" if value or name != "hold_min" else "" for name, value in row.items()}
        for row in program.segments
    ]
