"""What a plan should make a person look at: automatic checks, advice and no verdicts.

A check is a code with values; `MESSAGES` holds the sentences like those of a refusal. The
bounds are common practice, no source.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from .said import Said, sentence

if TYPE_CHECKING:
    from .plan import Figures

MESSAGES: Mapping[str, str] = {
    "too_high": sentence("The fired pot is %(size_mm)s high. The brief allows %(most_mm)s."),
    "too_wide": sentence("The fired pot is %(size_mm)s wide. The brief allows %(most_mm)s."),
    "too_deep": sentence("The fired pot is %(size_mm)s deep. The brief allows %(most_mm)s."),
    "too_small": sentence(
        "The fired pot is %(size_mm)s high. The brief asks for %(least_mm)s or more."
    ),
    "wall_thin": sentence(
        "The wall is %(wall_mm)s at its thinnest. A pot %(height_mm)s high is mostly built with "
        "%(least_mm)s or more."
    ),
    "wall_thick": sentence(
        "The wall is %(wall_mm)s at its thickest. A pot %(height_mm)s high is mostly built with "
        "%(most_mm)s or less; thick clay dries slowly and must be candled longer."
    ),
    "foot_small": sentence(
        "The foot is %(foot_mm)s wide under a belly of %(belly_mm)s. A foot of a third of the "
        "width, %(least_mm)s, stands more safely."
    ),
    "tips_easily": sentence(
        "Leaned by %(tip_deg)s the pot tips over. Make the foot wider or the belly lower."
    ),
    "foot_solid": sentence(
        "Up to %(height_mm)s the foot is solid clay. Thick clay dries slowly and can burst in "
        "the kiln: widen the foot or plan to hollow it out."
    ),
    "neck_narrow": sentence(
        "Inside, the pot is %(width_mm)s wide at %(height_mm)s. A hand no longer fits through: "
        "work the inside before the neck closes and lay single rows above it."
    ),
    "closed_hollow": sentence(
        "The hollow is closed at the top. Leave a vent hole, and keep it open until after the "
        "firing: shut-in damp bursts ware."
    ),
    "uneven": sentence(
        "At %(height_mm)s left and right differ by %(difference_mm)s. The plan uses their mean. "
        "Is that uneven on purpose?"
    ),
}

# (height up to, thinnest, thickest) of the wet wall; the lowest class names one figure, 6 mm,
# and takes its upper bound from the next.
WALL_BY_HEIGHT_MM = ((150, 6, 9), (300, 7, 9), (450, 8, 11), (float("inf"), 10, 14))
LEAST_FOOT_SHARE = 1 / 3
LEAST_TIP_DEG = 10.0
# A hand goes through flat: so wide, half as thick, and only matters deeper than the fingers.
HAND_MM, HAND_THICK_MM, FINGERS_MM = 90.0, 45.0, 100.0
# The larger of these is within what a hand draws.
UNEVEN_MM, UNEVEN_SHARE = 5.0, 0.03


@dataclass(frozen=True)
class Limits:
    """A brief's limits of the fired size; None where it sets none."""

    least_height_mm: float | None = None
    most_height_mm: float | None = None
    most_front_mm: float | None = None
    most_depth_mm: float | None = None


class Check(Said):
    """One thing to look at."""

    MESSAGES: ClassVar[Mapping[str, str]] = MESSAGES


def plan_checks(figures: "Figures") -> tuple[Check, ...]:
    """Checks that need nothing but the plan."""
    return (
        *_wall_checks(figures),
        *_foot_checks(figures),
        *_opening_checks(figures),
        *_evenness_checks(figures),
    )


def limit_checks(figures: "Figures", limits: Limits) -> tuple[Check, ...]:
    """Checks of the fired size against the brief."""
    fired = figures.fired
    bounds = [
        ("too_high", fired.height_mm, limits.most_height_mm),
        ("too_wide", fired.front_mm, limits.most_front_mm),
        ("too_deep", fired.depth_mm, limits.most_depth_mm),
    ]
    if (fired.front_mm, limits.most_front_mm) == (fired.depth_mm, limits.most_depth_mm):
        bounds.pop()  # a round pot's depth says nothing that its width doesn't
    found = [
        Check(code, {"size_mm": size, "most_mm": most})
        for code, size, most in bounds
        if most is not None and size > most
    ]
    least = limits.least_height_mm
    if least is not None and fired.height_mm < least:
        found.append(Check("too_small", {"size_mm": fired.height_mm, "least_mm": least}))
    return tuple(found)


def _wall_checks(figures: "Figures") -> Iterator[Check]:
    height = figures.wet.height_mm
    least, most = next((low, high) for up_to, low, high in WALL_BY_HEIGHT_MM if height <= up_to)
    thin, thick = sorted((figures.wall_base_mm, figures.wall_rim_mm))
    if thin < least:
        yield Check("wall_thin", {"wall_mm": thin, "height_mm": height, "least_mm": least})
    if thick > most:
        yield Check("wall_thick", {"wall_mm": thick, "height_mm": height, "most_mm": most})


def _foot_checks(figures: "Figures") -> Iterator[Check]:
    least = LEAST_FOOT_SHARE * figures.belly_mm
    if figures.foot_mm < least:
        values = {"foot_mm": figures.foot_mm, "belly_mm": figures.belly_mm, "least_mm": least}
        yield Check("foot_small", values)
    if figures.tip_deg < LEAST_TIP_DEG:
        yield Check("tips_easily", {"tip_deg": figures.tip_deg})
    if figures.solid_to_mm is not None:
        yield Check("foot_solid", {"height_mm": figures.solid_to_mm})


def _opening_checks(figures: "Figures") -> Iterator[Check]:
    if figures.is_closed:
        yield Check("closed_hollow")
    elif figures.neck is not None:
        values = {"width_mm": figures.neck.width_mm, "height_mm": figures.neck.height_mm}
        yield Check("neck_narrow", values)


def _evenness_checks(figures: "Figures") -> Iterator[Check]:
    uneven = figures.asymmetry
    if uneven.largest_mm > max(UNEVEN_MM, UNEVEN_SHARE * uneven.front_mm):
        values = {"height_mm": uneven.height_mm, "difference_mm": uneven.largest_mm}
        yield Check("uneven", values)
