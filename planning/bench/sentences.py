"""What the build check says: codes with values, their sentences. Bounds are common practice."""

from collections.abc import Mapping
from typing import ClassVar

from planning.geometry import said
from planning.geometry.said import sentence
from planning.rows import sentences as of_rows

MESSAGES: Mapping[str, str] = {
    # --- as planned
    "as_planned": sentence("As planned here."),
    "nearly_wide": sentence(
        "%(off_mm)s wider than planned, near enough. Set the next row in a little."
    ),
    "nearly_narrow": sentence(
        "%(off_mm)s narrower than planned, near enough. Set the next row out a little."
    ),
    "stiff_as_planned": sentence(
        "As planned: stiffened clay has shrunk, so any size from %(dry_mm)s to %(wet_mm)s is right "
        "here."
    ),
    # --- the soft band, gentlest first
    "steer_in": sentence("%(off_mm)s too wide here. Set the next rows in, each by a little."),
    "steer_out": sentence("%(off_mm)s too narrow here. Set the next rows out, each by a little."),
    "press_in": sentence(
        "%(off_mm)s too wide here. Press or paddle the wall in while it is soft, all round, with "
        "a hand against it inside."
    ),
    "press_round": sentence(
        "%(off_mm)s off here in one direction, while the way round is right. Press the wide sides "
        "in while the wall is soft and let the others come out."
    ),
    "ease_out": sentence(
        "%(off_mm)s too narrow here. Ease the wall out from inside while it is soft, all round, "
        "with a hand against it outside. It gets thinner: stop before it cracks."
    ),
    "dart": sentence(
        "%(off_mm)s too wide here. Cut %(count)s darts, evenly spaced, each %(width_mm)s wide at "
        "the edge and %(length_mm)s long, where the wall is soft but holds. Score and slip the cut "
        "edges and press them together from both sides. One dart alone would pull the pot to one "
        "side."
    ),
    "rebuild_narrow": sentence(
        "%(off_mm)s too narrow here, more than soft clay can be eased out. Take off the rows down "
        "to where the pot is right and build them again."
    ),
    "rebuild_wide": sentence(
        "%(off_mm)s too wide here, more than darts can take in. Take off the rows down to where "
        "the pot is right and build them again."
    ),
    # --- below it
    "leave_wide": sentence(
        "%(off_mm)s wider than planned, and stiff. Leave it: stiff clay cracks when it is forced. "
        "Carry on from here with new rows."
    ),
    "leave_narrow": sentence(
        "%(off_mm)s narrower than planned, and stiff. Leave it: stiff clay cracks when it is "
        "forced. Carry on from here with new rows."
    ),
    # --- measurements that can't be
    "out_of_range": sentence("This is between %(least)s and %(most)s."),
    "too_many": sentence("Give at most %(most)s measurements."),
    "no_width": sentence("Measure the width, the depth or the way round at this height."),
    "unknown_state": sentence("The wall is soft or stiff at this height."),
    "height_twice": sentence("This height is measured already."),
    "below_table": sentence("Give a height above the table."),
    "above_rim": sentence(
        "The plan ends at %(rim_mm)s, so there is nothing to compare with at %(height_mm)s."
    ),
    "too_thin": sentence(
        "%(value_mm)s is less than the wall's own thickness on both sides, %(least_mm)s. Check the "
        "unit."
    ),
    "unlikely": sentence(
        "The plan says %(planned_mm)s here. %(value_mm)s can hardly be measured right: check the "
        "unit and the height."
    ),
    "way_too_short": sentence(
        "%(value_mm)s doesn't go round a pot of this width: it takes at least %(least_mm)s."
    ),
    "way_too_long": sentence(
        "%(value_mm)s is more than goes round a pot of this width and depth, %(most_mm)s at most."
    ),
}


class Said(said.Said):
    MESSAGES: ClassVar[Mapping[str, str]] = MESSAGES


class Trouble(of_rows.Trouble):
    """One reason to refuse, at a path such as `measured.2.front_mm`."""

    MESSAGES: ClassVar[Mapping[str, str]] = MESSAGES


class MeasuredRefused(of_rows.RowsRefused):
    """These measurements can't be judged; `problems` says all that is wrong."""
