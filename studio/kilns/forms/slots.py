"""A firing slot: one kiln, one program, a local date and time."""

from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from studio.kilns.models import Program, Slot
from studio.kilns.services.slots import MOST_WEEKS
from studio.people.forms.classes import date_field
from studio.people.models import Studio, User
from studio.room.forms.fields import text
from studio.room.forms.kilns import staff_of
from studio.room.models import Kiln
from studio.web.forms import offer


class _SlotForm(forms.Form):
    kiln = forms.ModelChoiceField(
        label=_("Kiln"), queryset=Kiln.objects.none(), empty_label=_("Choose one")
    )
    program = forms.ModelChoiceField(
        label=_("Program"), queryset=Program.objects.none(), empty_label=_("Choose one")
    )
    on = date_field(_("Date"))
    start = forms.TimeField(
        label=_("Lit at"), widget=forms.TimeInput(format="%H:%M", attrs={"type": "time"})
    )
    confirms_shut_off = forms.ModelChoiceField(
        label=_("Confirms the shut-off"),
        queryset=User.objects.none(),
        required=False,
        empty_label=_("The kiln's own person"),
    )
    note = text(Slot, "note")

    def __init__(self, *args: Any, studio: Studio, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer(
            self,
            kiln=Kiln.objects.in_use().filter(studio=studio),
            program=Program.objects.in_use().filter(studio=studio),
            confirms_shut_off=staff_of(studio),
        )

    def slot(self) -> dict[str, Any]:
        """What the services take."""
        cleaned = self.cleaned_data
        names = ("kiln", "program", "on", "start", "note")
        confirms = cleaned["confirms_shut_off"] or cleaned["kiln"].confirms_shut_off
        return {name: cleaned[name] for name in names} | {"confirms": confirms}


class NewSlotForm(_SlotForm):
    weeks = forms.IntegerField(
        label=_("How many weeks"),
        initial=1,
        min_value=1,
        max_value=MOST_WEEKS,
        help_text=_("Once, or every week at the same time. Closed days are left out."),
    )
    field_order = ("kiln", "program", "on", "start", "weeks", "confirms_shut_off", "note")


class MoveSlotForm(_SlotForm):
    def __init__(self, *args: Any, slot: Slot, **kwargs: Any) -> None:
        kwargs["initial"] = _initial(slot)
        super().__init__(*args, **kwargs)
        # A slot keeps the program that it was made with, retired or not.
        kept = Program.objects.filter(pk=slot.program_id)
        offer(self, program=Program.objects.in_use().filter(studio=slot.studio_id) | kept)


def _initial(slot: Slot) -> dict[str, Any]:
    local = slot.starts_at.astimezone(slot.studio.zone)
    return {
        "kiln": slot.kiln_id,
        "program": slot.program_id,
        "on": local.date(),
        "start": local.time(),
        "confirms_shut_off": slot.confirms_shut_off_id,
        "note": slot.note,
    }


def new_initial(kiln: Kiln | None, on: date) -> dict[str, Any]:
    """The day that was asked for, and the earliest start of its kiln."""
    start = {"kiln": kiln.pk, "start": kiln.start_from} if kiln else {}
    return {"on": on, "weeks": 1} | start
