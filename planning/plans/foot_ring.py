"""What is said of a foot ring: when it is made, and from where heights count beside it."""

from dataclasses import dataclass

from django.utils.translation import gettext

from planning.geometry.inputs import FootRing
from studio.units.scales import Units
from studio.web.shown import length_text


@dataclass(frozen=True)
class RingSaid:
    """How a ring is made is common practice, no source."""

    making: str
    counting: str
    measuring: str


def ring_said(ring: FootRing | None, units: Units) -> RingSaid:
    """For the page on which a ring is planned; `ring_of` where there may be none."""
    name = gettext("The foot ring")
    if ring is not None:
        name = gettext("The foot ring, %(wide)s wide and %(high)s high,") % {
            "wide": length_text(ring.width_mm, units),
            "high": length_text(ring.height_mm, units),
        }
    making = gettext(
        "%(ring)s is made last: when the wall is leather-hard, turn the pot over on something "
        "soft, score and slip the edge of the base, and add the ring."
    )
    return RingSaid(
        making=making % {"ring": name},
        counting=gettext(
            "Rows and heights count from the edge of the base; only the size of the whole pot "
            "counts the ring."
        ),
        measuring=gettext("Measure from the edge of the base, not from the table under a ring."),
    )


def ring_of(ring: FootRing | None, units: Units) -> RingSaid | None:
    """None for a pot that stands on its base."""
    return None if ring is None else ring_said(ring, units)
