"""Where a pot stands on its shelf, as it is measured there: from the left and from the front."""

from collections.abc import Iterator
from typing import cast

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from studio.kilns.selectors.loads import Contents, layer_name
from studio.kilns.selectors.moving import Spot
from studio.people.models import Studio
from studio.room.models import Kiln
from studio.web.fields import LengthField, set_units
from studio.web.forms import offer_choices


class MoveForm(forms.Form):
    """The middle of a pot, measured from the left and the front end of the shelf. `seen` is where
    it stood when the page was made.
    """

    layer = forms.ChoiceField(label=_("Layer"))
    left_mm = LengthField(
        label=_("Its middle from the left"),
        help_text=_("From the end of the shelf on the left, seen from the front."),
    )
    front_mm = LengthField(label=_("Its middle from the front"))
    turn_deg = forms.FloatField(
        label=_("Turned by, degrees"),
        help_text=_("Against the clock, seen from above."),
        min_value=-360,
        max_value=360,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
    )
    seen = forms.CharField(widget=forms.HiddenInput, max_length=200)

    def __init__(
        self,
        data: QueryDict | None,
        *,
        kiln: Kiln,
        load: Contents,
        spot: Spot,
        studio: Studio,
    ) -> None:
        self.kiln = kiln
        initial = {
            "layer": str(spot.layer),
            "left_mm": spot.x_mm + kiln.shelf_width_mm / 2,
            "front_mm": spot.y_mm + kiln.shelf_depth_mm / 2,
            "turn_deg": f"{spot.turn_deg % 360:g}",
            "seen": told(spot),
        }
        super().__init__(data, initial=initial)
        self._before = spot
        offer_choices(self, layer=list(_layers(kiln, load)))
        for name, most in (("left_mm", kiln.shelf_width_mm), ("front_mm", kiln.shelf_depth_mm)):
            cast("LengthField", self.fields[name]).at_most = most
        set_units(self, studio)

    def spot(self) -> Spot:
        """The place that is asked for. A turn left as it was shown keeps its exact value."""
        said = self.cleaned_data
        kept_turn = "turn_deg" not in self.changed_data
        number, _sign, part = said["layer"].partition(" ")
        return Spot(
            int(number),
            said["left_mm"] - self.kiln.shelf_width_mm / 2,
            said["front_mm"] - self.kiln.shelf_depth_mm / 2,
            self._before.turn_deg if kept_turn else said["turn_deg"] % 360,
            part or "whole",
        )


def _layers(kiln: Kiln, load: Contents) -> Iterator[tuple[str, str]]:
    """Those of the load, then new shelves: a half one is named beside its number."""
    for number in range(len(load.parts)):
        yield str(number), layer_name(number, load.parts)
    new = len(load.parts)
    if new < kiln.shelves and not load.has_halves:
        yield str(new), gettext("A new shelf on top")
    if new - load.last_whole - 1 < kiln.half_shelves:
        yield f"{new} left", gettext("A new half shelf on the left")
        yield f"{new} right", gettext("A new half shelf on the right")


def told(spot: Spot) -> str:
    """A place as a hidden field carries it, exactly."""
    return f"{spot.layer} {spot.x_mm!r} {spot.y_mm!r} {spot.turn_deg!r}"


def read(text: str) -> Spot | None:
    """What `told` wrote; None for anything else."""
    try:
        layer, *figures = text.split()
        x_mm, y_mm, turn_deg = map(float, figures)
        return Spot(int(layer), x_mm, y_mm, turn_deg)
    except ValueError:
        return None
