"""What is short on the printed pages of a week, written out once for who has never seen them."""

from collections.abc import Iterable

from django.utils.translation import gettext as _

from studio.kilns.sheets.firing import FiringPrint
from studio.people.models import LengthUnit, Studio
from studio.web.shown import length_unit_text


def meanings(studio: Studio, firings: Iterable[FiringPrint]) -> list[tuple[str, str]]:
    """Short and long, in the order in which they are met; classes by what is scratched."""
    named = {each.short: each.title for firing in firings for each in firing.classes if each.short}
    return [
        ("K7-3F", _("a pot's code, scratched into its underside; /2 is its maker's second pot")),
        *sorted(named.items()),
        (_("°C, °C/h"), _("degrees Celsius; how many of them the kiln heats or cools in an hour")),
        (_("h, min"), _("hours, minutes")),
        (length_unit_text(studio), str(LengthUnit(studio.length_unit).label)),
        (
            "1 : 7",
            _("a map drawn seven times smaller than the shelf; each says its own number"),
        ),
        (
            _("witness cone"),
            _(
                "a small cone of clay beside the pots that bends once the kiln has given the heat "
                "of its number. The nought counts: cone 06 bends well before cone 6"
            ),
        ),
        (_("layer, posts"), _("a shelf with its pots; the props between it and the next shelf")),
        (_("bisque, glaze"), _("the first firing, of dry clay; the second, which melts the glaze")),
        (_("controller"), _("the box at the kiln that runs the program and shows its temperature")),
        (_("vent"), _("what takes fumes and steam out of the room")),
    ]


def in_short(studio: Studio) -> str:
    """The same in two lines, for the foot of every firing's page."""
    said = _(
        "On this page: °C, degrees Celsius; °C/h, degrees Celsius an hour; h, hours; min, minutes; "
        "%(unit)s, %(units)s. A cone is a small one of clay that bends once the kiln has given the "
        "heat of its number; 06 bends well before 6. Posts are the props between two shelves. A "
        "code is scratched into its pot's underside."
    )
    unit, units = length_unit_text(studio), str(LengthUnit(studio.length_unit).label)
    return said % {"unit": unit, "units": units}
