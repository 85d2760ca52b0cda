"""A pot of a load tried at another place: does it fit there, and how does it look?"""

from copy import copy
from dataclasses import dataclass, replace
from uuid import UUID

from django.utils.translation import gettext as _

from studio.errors import Conflict
from studio.kilns.furnished import trimmed, with_new_top
from studio.kilns.halves import with_new_half
from studio.kilns.models import Placement, Slot
from studio.kilns.packing.checked import Violation, checked
from studio.kilns.packing.inputs import Layer, Part

from .loads import Contents, furniture_of, stock_of, trouble_sentence
from .maps import DrawnLayer, DrawnPot, drawn_layers


@dataclass(frozen=True)
class Spot:
    """Where a pot stands: its layer, counted from 0 at the bottom, its middle in mm from the
    shelf's centre, x to the right and y to the back, turned counter-clockwise. `part` is that of a
    new shelf, which is one above all layers in number; on one that stands it says nothing."""

    layer: int
    x_mm: float
    y_mm: float
    turn_deg: float = 0.0
    part: Part = "whole"


@dataclass(frozen=True)
class Tried:
    """A pot where somebody holds it. `problems` are sentences; without one it fits. Its middle is
    so far from the left and the front end of the shelf. As the load stands: the codes of what is in
    or on it, and the code of what it is in or on.
    """

    spot: Spot
    left_mm: float
    front_mm: float
    layer: DrawnLayer
    mover: DrawnPot
    problems: list[str]
    with_it: str
    stands_in: str

    @property
    def others(self) -> tuple[DrawnPot, ...]:
        return tuple(each for each in self.layer.pots if each is not self.mover)


def spot_of(row: Placement) -> Spot:
    return Spot(row.layer, row.x_mm, row.y_mm, row.turn_deg)


def row_of(load: Contents, pot: UUID) -> Placement:
    """Where a pot stands in a load. A pot that was taken out meanwhile is a conflict."""
    found = next((each for each in load.placements if each.pot_id == pot), None)
    if found is None:
        raise Conflict(_("This pot isn't in the load any more. Go back to the load."))
    return found


def moved(slot: Slot, load: Contents, pot: UUID, spot: Spot) -> Contents:
    """The load as it would be; a layer that it hasn't yet is a new shelf on top. Shelves that are
    left empty on top go. What stands in or on the pot goes with it; where it stood so itself, it
    does no more.
    """
    if spot == spot_of(row_of(load, pot)):
        return load
    there = _put(slot, load, pot, spot)
    return there.laid(trimmed(there.layers))


def _put(slot: Slot, load: Contents, pot: UUID, spot: Spot) -> Contents:
    """The pot there, every shelf still in place; a new one without posts where it gets none."""
    row, layer = row_of(load, pot), spot.layer
    if layer == len(load.posts_mm):
        opened = _opened(slot, load, row, spot.part)
        layer = _new_number(load, spot.part)
        load = load.laid(opened or _unheld(load, layer, spot.part))
    rows = tuple(
        _there(each, layer, spot, None if each.pk == row.pk else row.pk)
        if row.pk in {each.pk, each.host_id}
        else each
        for each in load.placements
    )
    return replace(load, placements=rows)


def _new_number(load: Contents, part: Part) -> int:
    """That of a new shelf on top: a left half comes before the right ones."""
    return len(load.parts) - (load.parts.count("right") if part == "left" else 0)


def _unheld(load: Contents, number: int, part: Part) -> tuple[Layer, ...]:
    layers = load.layers
    return (*layers[:number], Layer(None, (), part), *layers[number:])


def in_the_way(slot: Slot, load: Contents, pot: UUID, spot: Spot) -> list[str]:
    """Why a pot doesn't fit at a place: what it would do, not what was wrong before."""
    if spot.layer == len(load.posts_mm) and (trouble := _no_new_shelf(slot, load, pot, spot.part)):
        return [trouble]
    return new_troubles(slot, load, moved(slot, load, pot, spot), pot)


def new_troubles(slot: Slot, load: Contents, after: Contents, pot: UUID) -> list[str]:
    """What would be wrong with a pot in a load as it would be, or with others because of it."""
    furniture = furniture_of(slot.kiln)
    found = checked(furniture, after.pieces, after.layers)
    before: set[tuple[str, int, tuple[str, ...]]] = set()
    if any(str(pot) not in each.ids for each in found):
        before = {_what(each) for each in checked(furniture, load.pieces, load.layers)}
    return [
        trouble_sentence(each, after, slot.kiln, slot.studio)
        for each in found
        if str(pot) in each.ids or _what(each) not in before
    ]


def tried(slot: Slot, load: Contents, pot: UUID, spot: Spot) -> Tried:
    """The layer that it would stand on, drawn with it."""
    # Every shelf stays in the picture, so that the pot can be held over each.
    row = row_of(load, pot)
    there = load if spot == spot_of(row) else _put(slot, load, pot, spot)
    layer, host = drawn_layers(slot.kiln, there)[row_of(there, pot).layer], load.host_of(row)
    mover = next(each for each in layer.pots if each.row.pot_id == pot)
    return Tried(
        spot=spot,
        left_mm=spot.x_mm + slot.kiln.shelf_width_mm / 2,
        front_mm=spot.y_mm + slot.kiln.shelf_depth_mm / 2,
        layer=layer,
        mover=mover,
        problems=in_the_way(slot, load, pot, spot),
        with_it=", ".join(each.pot.code for each in load.guests_of(row)),
        stands_in=host.pot.code if host else "",
    )


def _there(row: Placement, layer: int, spot: Spot, host: UUID | None) -> Placement:
    there = copy(row)
    there.host_id = host
    there.layer, there.x_mm, there.y_mm = layer, spot.x_mm, spot.y_mm
    there.turn_deg = spot.turn_deg
    return there


def _opened(slot: Slot, load: Contents, row: Placement, part: Part) -> tuple[Layer, ...] | None:
    """With a new shelf on top, on posts that clear what stays below it."""
    kiln = slot.kiln
    furniture, stock = furniture_of(kiln), stock_of(kiln)
    below = replace(load, placements=tuple(each for each in load.placements if each is not row))
    if part != "whole":
        return with_new_half(furniture, stock, below.layers, below.pieces, part)
    if load.has_halves:
        return None
    tall = {each.id: each.height_mm for each in below.pieces}
    return with_new_top(furniture, stock, below.layers, tall)


def _no_new_shelf(slot: Slot, load: Contents, pot: UUID, part: Part) -> str:
    """Why a pot gets no shelf of its own on top; empty where it does."""
    row, top = row_of(load, pot), _new_number(load, part) - 1
    alone = not row.host_id and len(load.layers[top].placements) == 1
    if row.layer == top and load.parts[top] == part and alone:
        return _("It stands alone on the uppermost shelf already.")
    if part == "whole" and load.has_halves:
        return _("No whole shelf stands on half ones. Choose a new half shelf.")
    if part == "whole" and len(load.posts_mm) >= slot.kiln.shelves:
        return _("The kiln has no more shelves.")
    if part != "whole" and len(load.parts) - load.last_whole - 1 >= slot.kiln.half_shelves:
        return _("The kiln has no more half shelves.")
    if _opened(slot, load, row, part) is None:
        return _("No posts are left that are high enough for what stands below a new shelf.")
    return ""


def _what(found: Violation) -> tuple[str, int, tuple[str, ...]]:
    return found.code, found.layer, found.ids
