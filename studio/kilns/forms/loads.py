"""What is typed at the kiln: on a phone, standing, in a hurry."""

from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple
from uuid import UUID

from django import forms
from django.forms.boundfield import BoundField
from django.utils.translation import gettext_lazy as _

from studio.kilns.cones import cones
from studio.kilns.models import ConeKind, LogEntry, Placement, Slot, WitnessReading
from studio.kilns.services.firing import LEAST_C, LEAST_KWH, MOST_C, MOST_KWH, OUTCOMES, Outcome
from studio.room.forms.fields import text
from studio.web.columns import column, label

_CONE_HELP = _("How it stands, such as “06 down, 05 half”. It decides, not the controller.")


class LightForm(forms.Form):
    part_full_reason = text(
        Slot, "part_full_reason", help_text=_("Needed while there is much room left.")
    )


class LogForm(forms.Form):
    temp_c = forms.FloatField(
        label=_("Temperature, °C"),
        required=False,
        min_value=LEAST_C,
        max_value=MOST_C,
        widget=forms.TextInput(
            attrs={"inputmode": "decimal", "autocomplete": "off", "maxlength": 8}
        ),
    )
    note = text(LogEntry, "note")
    at = forms.TimeField(
        label=_("Read at, if not just now"),
        required=False,
        widget=forms.TimeInput(attrs={"type": "time"}),
    )


class ShutOffForm(forms.Form):
    seen_off = forms.BooleanField(label=_("I stand at the kiln and see that it is off."))
    witness_cone = text(Slot, "witness_cone", help_text=_CONE_HELP)


class MeterForm(forms.Form):
    kwh = forms.FloatField(
        label=_("Kilowatt-hours that the meter counted"),
        required=False,
        min_value=LEAST_KWH,
        max_value=MOST_KWH,
        help_text=_("Over this firing: after it less before it."),
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
    )


BENDS = (
    ("1", _("down, its tip level with its base")),
    ("0.75", _("three quarters")),
    ("0.5", _("half")),
    ("0.25", _("a quarter")),
    ("0", _("upright")),
)


class WitnessForm(forms.Form):
    """One cone; a cone that is named again at the same place is read anew."""

    cone = forms.ChoiceField(
        label=label(column(WitnessReading, "cone")), choices=[(each, each) for each in cones()]
    )
    bent = forms.TypedChoiceField(
        label=label(column(WitnessReading, "bent")), choices=BENDS, coerce=float
    )
    place = text(
        WitnessReading, "place", help_text=_("Such as “bottom shelf”. Cones differ by place.")
    )
    kind = forms.ChoiceField(
        label=label(column(WitnessReading, "kind")),
        choices=ConeKind.choices,
        initial=ConeKind.SELF_SUPPORTING,
    )


RESULTS = (
    ("ok", _("whole")),
    ("flaw", _("a flaw, cause not known yet; it goes on")),
    ("flaw_making", _("a flaw from making; it goes on")),
    ("flaw_drying", _("a flaw from drying; it goes on")),
    ("flaw_kiln", _("a flaw from the kiln; it goes on")),
    ("broken", _("broken, cause not known yet")),
    ("broken_making", _("broken, from making")),
    ("broken_drying", _("broken, from drying")),
    ("broken_kiln", _("broken by the kiln")),
    ("broken_accident", _("broken by an accident")),
    ("left_out", _("not in the kiln, or not fired")),
)


class UnloadRow(NamedTuple):
    """`host`: the code of the pot that it stands in or on."""

    placement: Placement
    host: str
    kind: BoundField
    words: BoundField


class UnloadForm(forms.Form):
    """A line for each pot of the load, whole unless somebody says otherwise."""

    def __init__(
        self, *args: Any, slot: Slot, placements: Sequence[Placement], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.placements = [each for each in placements if not each.pot.lost]
        for each in self.placements:
            code = each.pot.code
            self.fields[f"kind_{each.pot_id}"] = forms.ChoiceField(
                label=_("%(code)s is") % {"code": code}, choices=RESULTS, initial="ok"
            )
            self.fields[f"words_{each.pot_id}"] = forms.CharField(
                label=_("What is wrong with %(code)s") % {"code": code},
                required=False,
                max_length=200,
                widget=forms.TextInput(attrs={"placeholder": _("what is wrong, if anything")}),
            )
        self.fields["read_below"] = forms.BooleanField(
            label=_("The kiln was read below its unloading temperature before it was opened."),
        )
        if slot.is_cut_short:
            self.fields["reached"] = forms.BooleanField(
                label=_("It was off early; the witness cones say that it reached its heat."),
                required=False,
            )
        self.fields["witness_cone"] = text(Slot, "witness_cone", help_text=_CONE_HELP)

    def rows(self) -> Iterator[UnloadRow]:
        codes = {each.pk: each.pot.code for each in self.placements}
        for each in self.placements:
            host = codes.get(each.host_id, "") if each.host_id else ""
            kind, words = self[f"kind_{each.pot_id}"], self[f"words_{each.pot_id}"]
            yield UnloadRow(each, host, kind, words)

    def results(self) -> dict[UUID, Outcome]:
        """What was said, by pot."""
        return {each.pot_id: self._outcome(each.pot_id) for each in self.placements}

    def _outcome(self, pk: UUID) -> Outcome:
        kind, words = self.cleaned_data[f"kind_{pk}"], self.cleaned_data[f"words_{pk}"]
        if kind in OUTCOMES:
            return Outcome(kind, words)
        kind, _underscore, cause = kind.partition("_")
        return Outcome(kind, words, cause)


def field_of(path: str) -> str:
    """The field that a refusal's `results.<pot>` stands at."""
    head, _dot, pot = path.partition(".")
    return f"words_{pot}" if head == "results" and pot else path
