"""What stands in a slot's load, as rows and as the packing reads it."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from copy import copy
from dataclasses import dataclass
from statistics import mean
from typing import cast

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from studio.kilns.furnished import Stock
from studio.kilns.halves import heights_mm
from studio.kilns.models import Load, Placement, Slot
from studio.kilns.packing.checked import CHECKED, Violation, checked
from studio.kilns.packing.inputs import (
    OUTLINE_SHAPES,
    Furniture,
    Layer,
    Outline,
    OutlineShape,
    Part,
    Piece,
    Shelf,
    ShelfShape,
)
from studio.kilns.packing.inputs import Placement as Place
from studio.kilns.packing.room import Room
from studio.kilns.packing.together import as_one
from studio.kilns.wording import sentence
from studio.people.models import Studio
from studio.room.models import Kiln
from studio.ware.models import GreenwareCheck, Pot

PART_FULL = 0.4
"""Below this share a load counts as part full. Round pots packed well come to about 0.55."""


@dataclass(frozen=True)
class Contents:
    """A load as it stands. `placements` have pot, piece, student, section and plan read along.
    `parts` are those of its shelves; halves stand on the last whole one, the right ones on posts of
    `right_post_mm` there.
    """

    posts_mm: tuple[float | None, ...]
    placements: tuple[Placement, ...]
    parts: tuple[Part, ...] = ()
    right_post_mm: float | None = None

    @property
    def pots(self) -> list[Pot]:
        return [each.pot for each in self.placements]

    @property
    def pinned(self) -> frozenset[str]:
        """Ids of the pots that stay when the load is placed anew."""
        return frozenset(str(each.pot_id) for each in self.placements if each.pinned)

    def on_layer(self, number: int) -> list[Placement]:
        """Counted from 0 at the bottom; by code, as one looks for a pot, each with its guests after
        it.
        """
        found = (each for each in self.placements if each.layer == number and not each.host_id)
        hosts = sorted(found, key=lambda each: each.pot.code)
        return [row for host in hosts for row in (host, *self.guests_of(host))]

    def host_of(self, row: Placement) -> Placement | None:
        """The pot that it stands in or on, if any."""
        return next((each for each in self.placements if each.pk == row.host_id), None)

    def guests_of(self, host: Placement) -> list[Placement]:
        """What stands in or on a pot, by code."""
        found = (each for each in self.placements if each.host_id == host.pk)
        return sorted(found, key=lambda each: each.pot.code)

    @property
    def layers(self) -> tuple[Layer, ...]:
        """What stands on shelves: guests don't."""
        return tuple(
            Layer(
                post_mm,
                tuple(
                    Place(str(each.pot_id), each.x_mm, each.y_mm, each.turn_deg)
                    for each in self.placements
                    if each.layer == number and not each.host_id
                ),
                part,
                self.right_post_mm if number == self.last_whole else None,
            )
            for number, (post_mm, part) in enumerate(zip(self.posts_mm, self.parts, strict=True))
        )

    @property
    def last_whole(self) -> int:
        """The layer that half ones stand on, if there are any."""
        return self.parts.count("whole") - 1

    @property
    def has_halves(self) -> bool:
        return self.last_whole < len(self.parts) - 1

    def laid(self, layers: Sequence[Layer]) -> "Contents":
        """With these layers: pots stand on the layer that names them, with their guests, others
        where they stood."""
        numbers = layer_numbers(layers)
        rows = []
        for each in self.placements:
            row = copy(each)
            row.layer = numbers.get(str((self.host_of(each) or each).pot_id), each.layer)
            rows.append(row)
        return Contents(
            tuple(each.post_mm for each in layers),
            tuple(rows),
            tuple(each.part for each in layers),
            right_post_mm(layers),
        )

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """What takes room on a shelf: a host and its guests are one, by the id of the host."""
        guests: dict[object, list[Piece]] = defaultdict(list)
        for each in self.placements:
            if each.host_id:
                guests[each.host_id].append(own_piece(each))
        hosts = (each for each in self.placements if not each.host_id)
        return tuple(_with_guests(each, guests[each.pk]) for each in hosts)


NOTHING = Contents((), ())


def layer_numbers(layers: Iterable[Layer]) -> dict[str, int]:
    """By pot: the layer that it stands on, counted from 0 in the order of a load."""
    return {each.id: n for n, layer in enumerate(layers) for each in layer.placements}


def right_post_mm(layers: Iterable[Layer]) -> float | None:
    """Of the posts under the right halves; None where there are none."""
    found = (each.right_post_mm for each in layers if each.right_post_mm is not None)
    return next(found, None)


def contents_of(slots: Iterable[Slot]) -> dict[object, Contents]:
    """By slot: its load. Two queries however many; slots without a load are left out."""
    loads = {load.pk: load for load in Load.objects.filter(slot__in=[each.pk for each in slots])}
    rows: dict[object, list[Placement]] = {pk: [] for pk in loads}
    placements = Placement.objects.filter(load__in=list(loads)).select_related(
        "pot__piece__student", "pot__piece__assignment__section", "pot__plan"
    )
    for each in placements:
        rows[each.load_id].append(each)
    return {
        load.slot_id: Contents(
            tuple(load.posts_mm),
            tuple(rows[pk]),
            cast("tuple[Part, ...]", tuple(load.parts) or ("whole",) * len(load.posts_mm)),
            load.right_post_mm,
        )
        for pk, load in loads.items()
    }


def contents(slot: Slot) -> Contents:
    """The load of one slot; an empty one where there is none."""
    return contents_of([slot]).get(slot.pk, NOTHING)


def outline_of(pot: Pot) -> Outline:
    """The shape from above that the plan of the pot gives; its `plan` is loaded."""
    drawn = pot.plan.inputs["outline"]
    shape: OutlineShape = drawn["shape"] if drawn["shape"] in OUTLINE_SHAPES else "round"
    points = tuple((float(x), float(y)) for x, y in drawn.get("points", ()))
    return Outline(shape, float(drawn.get("corner_ratio", 0.0)), points)


def own_piece(row: Placement) -> Piece:
    """A pot as it was packed, without what stands in or on it."""
    outline = outline_of(row.pot)
    return Piece(str(row.pot_id), row.front_mm, row.depth_mm, row.height_mm, outline)


def _with_guests(host: Placement, guests: list[Piece]) -> Piece:
    piece = own_piece(host)
    if not guests:
        return piece
    return as_one(piece, guests, host.together_mm or piece.height_mm)


def piece_of(pot: Pot, check: GreenwareCheck) -> Piece:
    """A pot that is to be placed, at its checked size. Bisque is a little smaller than that."""
    return Piece(str(pot.pk), check.front_mm, check.depth_mm, check.height_mm, outline_of(pot))


def shelf_of(kiln: Kiln) -> Shelf:
    # The choices of the column are the shapes of the packing.
    shape = cast("ShelfShape", kiln.shelf_shape)
    return Shelf(shape, kiln.shelf_width_mm, kiln.shelf_depth_mm)


def stock_of(kiln: Kiln) -> Stock:
    """Its shelves and posts. One query."""
    posts = tuple((float(each.height_mm), each.sets) for each in kiln.posts.all())
    return Stock(kiln.shelves, posts, kiln.half_shelves)


def furniture_of(kiln: Kiln, stock: Stock | None = None) -> Furniture:
    """The inside of a kiln; without its stock it has no posts, as for a look at what stands."""
    return Furniture(
        shelf=shelf_of(kiln),
        usable_height_mm=kiln.usable_height_mm,
        shelf_thickness_mm=kiln.shelf_thickness_mm,
        posts_mm=tuple(height for height, _sets in stock.posts) if stock else (),
        clearance_mm=kiln.clearance_mm,
        headroom_mm=kiln.headroom_mm,
    )


def shelf_area_mm2(kiln: Kiln) -> float:
    """Of one shelf, with half a gap around it."""
    return Room(furniture_of(kiln)).area_mm2


def share_filled(kiln: Kiln, load: Contents) -> float:
    """How much of the shelf area that the kiln has is filled, 0 to 1.

    The area of the pots by that of their shelves, times the height in use, that of two columns in
    the mean: as if the rest of the kiln held layers like these. A kiln packed well with round pots
    comes to about 0.55.
    """
    if not load.placements:
        return 0.0
    furniture = furniture_of(kiln)
    room = Room(furniture)
    in_use = sum(1.0 if each.part == "whole" else 0.5 for each in load.layers if each.placements)
    area = sum(map(room.piece_area_mm2, load.pieces)) / (room.area_mm2 * in_use)
    high_mm = mean(heights_mm(furniture, load.layers, load.pieces))
    return min(1.0, area * high_mm / furniture.usable_height_mm)


def troubles(kiln: Kiln, load: Contents, studio: Studio) -> list[str]:
    """What is wrong with a load as it stands: the kiln's measures changed since, for instance."""
    found = checked(furniture_of(kiln), load.pieces, load.layers)
    return [trouble_sentence(each, load, kiln, studio) for each in found]


def trouble_sentence(found: Violation, load: Contents, kiln: Kiln, studio: Studio) -> str:
    """With the codes of its pots, in the studio's units."""
    codes = {str(each.pot_id): _with_codes(load, each) for each in load.placements}
    named = dict(zip(("first", "second"), (codes[pk] for pk in found.ids), strict=False))
    # A distance of the geometry library is a number of NumPy's.
    short_mm, message = float(found.short_mm), CHECKED[found.code]
    if found.code == "clearance" and short_mm > kiln.clearance_mm:
        short_mm -= kiln.clearance_mm
        message = gettext_noop("%(first)s and %(second)s overlap by %(short_mm)s.")
    return sentence(message, {**named, "short_mm": short_mm}, studio)


def _with_codes(load: Contents, row: Placement) -> str:
    guests = ", ".join(each.pot.code for each in load.guests_of(row))
    words = {"code": row.pot.code, "guests": guests}
    return _("%(code)s with %(guests)s") % words if guests else row.pot.code


def layer_name(number: int, parts: Sequence[Part]) -> str:
    """Of one layer, counted from 0 in the order of a load. Half ones count on from the last whole
    one, on each side."""
    part, top = parts[number], number == len(parts) - 1 or parts[number + 1] != parts[number]
    if part != "whole":
        words = {"number": parts.count("whole") + number - parts.index(part) + 1}
        return _half_name(part, top) % words
    if len(parts) == 1:
        return _("One layer")
    if number == 0:
        return _("Layer 1, at the bottom")
    if number == len(parts) - 1:
        return _("Layer %(number)s, on top") % {"number": number + 1}
    return _("Layer %(number)s") % {"number": number + 1}


def _half_name(part: Part, top: bool) -> str:
    if part == "left":
        return _("Layer %(number)s, left half, on top") if top else _("Layer %(number)s, left half")
    return _("Layer %(number)s, right half, on top") if top else _("Layer %(number)s, right half")
