"""A load as it is drawn: each layer from above, at one scale, with the codes on the pots.

Numbers are text already: they stand in SVG attributes. One unit of the drawing is a millimetre.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from studio.kilns.models import Firing, Placement
from studio.kilns.packing.inputs import Part, Shelf
from studio.kilns.packing.inputs import Placement as Place
from studio.kilns.packing.parts import part_points
from studio.kilns.packing.shapes import circle, outline_points, turned
from studio.room.models import Kiln

from .loads import Contents, layer_name, own_piece, shelf_of

Points = tuple[tuple[float, float], ...]

EDGE_MM = 12.0
EVERY = 6
"""Of the 360 points of an outline one in six is drawn: 0.1 mm off on a screen."""


@dataclass(frozen=True)
class DrawnPot:
    """A pot from above. `row` is its placement, for the list beside the drawing; `host` the code of
    the pot that it stands in or on, `inside` the outlines of what stands in or on it.
    """

    row: Placement
    path: str
    x: str
    y: str
    size: str
    plate_x: str
    plate_y: str
    plate_width: str
    plate_height: str
    host: str
    inside: tuple[str, ...]


@dataclass(frozen=True)
class DrawnLayer:
    number: int
    name: str
    post_mm: float | None
    right_post_mm: float | None
    carries_halves: bool
    box: str
    shelf: str
    whole: str
    """The whole outline around a half shelf, else empty."""
    middle: str
    """The middle line where the layer is a half one or carries half ones, else empty."""
    pots: tuple[DrawnPot, ...]


def drawn_layers(kiln: Kiln, load: Contents) -> list[DrawnLayer]:
    """Every layer of a load, from the bottom up."""
    shelf = shelf_of(kiln)
    half_x, half_y = shelf.width_mm / 2 + EDGE_MM, shelf.depth_mm / 2 + EDGE_MM
    box = f"{-half_x:.0f} {-half_y:.0f} {2 * half_x:.0f} {2 * half_y:.0f}"
    front_mm, whole = shelf.depth_mm / 2, _path(shelf_outline(shelf))
    line = f"M0 {-front_mm:.1f}V{front_mm:.1f}"
    return [
        DrawnLayer(
            number=number + 1,
            name=layer_name(number, load.parts),
            post_mm=layer.post_mm,
            right_post_mm=layer.right_post_mm,
            carries_halves=load.has_halves and number == load.last_whole,
            box=box,
            shelf=_path(shelf_outline(shelf, layer.part)),
            whole="" if layer.part == "whole" else whole,
            middle=line if load.has_halves and number >= load.last_whole else "",
            pots=tuple(_pot(load, each) for each in load.on_layer(number)),
        )
        for number, layer in enumerate(load.layers)
    ]


def surface_of(firing: str) -> str:
    """How the clay of such a load looks before it is fired, by the names of the patterns."""
    return "bone_dry" if firing == Firing.BISQUE else "glazed"


def shelf_outline(shelf: Shelf, part: Part = "whole") -> Points:
    points = part_points(shelf, part)
    return points[::4] if shelf.shape in {"round", "oval"} and part == "whole" else points


def pot_outline(row: Placement) -> Points:
    """Where the pot stands, seen from above, y to the back."""
    piece = own_piece(row)
    points = outline_points(piece, Place(piece.id, row.x_mm, row.y_mm, row.turn_deg))
    return points[::EVERY] if len(points) > 10 * EVERY else points


def guest_outlines(load: Contents, host: Placement) -> list[Points]:
    """What stands in or on a pot, around its middle where there is more than one: nobody measures
    where exactly.
    """
    guests = load.guests_of(host)
    if not guests:
        return []
    size = max(max(each.front_mm, each.depth_mm) for each in guests)
    room = [max(0.0, mm - size) / 2 for mm in (host.front_mm, host.depth_mm)]
    aside, back = room if len(guests) > 1 else (0.0, 0.0)
    around = circle(len(guests))
    along = around if aside >= back else around[:, ::-1]  # two stand on the longer axis
    spots = turned(along * (aside, back), host.turn_deg).tolist()
    return [
        tuple((x + across, y + deep) for x, y in pot_outline(guest))
        for guest, (across, deep) in zip(guests, spots, strict=True)
    ]


def _pot(load: Contents, row: Placement) -> DrawnPot:
    host = load.host_of(row)
    size = max(13.0, min(24.0, min(row.front_mm, row.depth_mm) * 0.22))
    wide = 0.62 * size * len(row.pot.code) + 6
    x, y = row.x_mm, -row.y_mm
    return DrawnPot(
        row=row,
        path=_path(pot_outline(row)),
        x=f"{x:.1f}",
        y=f"{y + 0.35 * size:.1f}",
        size=f"{size:.1f}",
        plate_x=f"{x - wide / 2:.1f}",
        plate_y=f"{y - 0.65 * size:.1f}",
        plate_width=f"{wide:.1f}",
        plate_height=f"{1.3 * size:.1f}",
        host=host.pot.code if host else "",
        inside=tuple(map(_path, guest_outlines(load, row))),
    )


def _path(points: Sequence[tuple[float, float]]) -> str:
    """Paper and screens count y downwards, so the front is below."""
    return "M" + "L".join(f"{x:.1f} {-y:.1f}" for x, y in points) + "Z"
