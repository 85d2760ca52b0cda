"""Why a pot found no place in a load, with the measures that say so."""

from django.utils.translation import gettext as _

from studio.kilns.models import Slot
from studio.kilns.packing.inputs import Piece
from studio.room.models import Kiln
from studio.units.scales import Units
from studio.ware.models import Pot
from studio.web.shown import length_number_text, length_text


def left_out_reason(pot: Pot, piece: Piece, reason: str, slot: Slot) -> str:
    """One sentence; `reason` is a `packing.load.Reason`, or `no_shelf`."""
    units = slot.studio
    words = {"code": pot.code, "kiln": slot.kiln}
    match reason:
        case "taller_than_kiln":
            lid_mm = slot.kiln.usable_height_mm - slot.kiln.shelf_thickness_mm
            message = _(
                "%(code)s is %(tall)s tall; under the lid of %(kiln)s there are %(lid)s. Choose a "
                "larger kiln."
            )
            room_mm = lid_mm - slot.kiln.headroom_mm
            tall = {
                "tall": length_text(piece.height_mm, units),
                "lid": length_text(room_mm, units),
            }
            return message % (words | tall)
        case "wider_than_shelf":
            message = _(
                "%(code)s is %(size)s from above; the shelf of %(kiln)s is %(shelf)s, and it "
                "doesn't fit on it however it is turned. Choose a larger kiln."
            )
            sizes = {
                "size": across_text(piece.front_mm, piece.depth_mm, units),
                "shelf": shelf_text(slot.kiln, units),
            }
            return message % (words | sizes)
        case "no_shelf":
            return (
                _(
                    "%(code)s would need one more layer, and shelves, posts or height for it are "
                    "used up. Put it in another firing, or take something out."
                )
                % words
            )
    return (
        _(
            "No room is left for %(code)s in this load. Put it in another firing, or take "
            "something out."
        )
        % words
    )


def across_text(front_mm: float, depth_mm: float, units: Units) -> str:
    """`18.4 × 16 cm`: as wide and deep as seen from above."""
    return f"{length_number_text(front_mm, units)} × {length_text(depth_mm, units)}"


def shelf_text(kiln: Kiln, units: Units) -> str:
    if kiln.shelf_shape in {"round", "octagon"}:
        across = length_text(kiln.shelf_width_mm, units)
        return _("%(length)s across") % {"length": across}
    return across_text(kiln.shelf_width_mm, kiln.shelf_depth_mm, units)
