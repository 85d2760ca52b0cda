"""What a load is computed from. Nothing physical has a default."""

from dataclasses import dataclass
from typing import Literal, get_args

ShelfShape = Literal["round", "oval", "rectangle", "octagon"]
OutlineShape = Literal["round", "oval", "leaf", "rounded_square", "traced"]
Side = Literal["left", "right"]
Part = Literal["whole", "left", "right"]
SHELF_SHAPES: tuple[ShelfShape, ...] = get_args(ShelfShape)
PARTS: tuple[Part, ...] = get_args(Part)
OUTLINE_SHAPES: tuple[OutlineShape, ...] = get_args(OutlineShape)


@dataclass(frozen=True)
class Shelf:
    """A round shelf has its diameter as width and depth, an octagon the distance across its
    flats; one of its flats faces the front. Of a half one these are the measures of the whole that
    is cut along the middle line, x = 0; its pots keep half of the clearance from that line."""

    shape: ShelfShape
    width_mm: float
    depth_mm: float
    part: Part = "whole"


@dataclass(frozen=True)
class Spot:
    """A round place on every shelf where no pot can stand: a post, a cone pack, a burner."""

    x_mm: float
    y_mm: float
    diameter_mm: float


@dataclass(frozen=True)
class Furniture:
    """The inside of a kiln. Clearance is kept between pots and to spots; none is asked at the
    shelf's edge. Headroom is kept above each pot."""

    shelf: Shelf
    usable_height_mm: float
    shelf_thickness_mm: float
    posts_mm: tuple[float, ...]
    clearance_mm: float
    headroom_mm: float
    post_footprints: tuple[Spot, ...] = ()
    reserved: tuple[Spot, ...] = ()


@dataclass(frozen=True)
class Outline:
    """A shape seen from above without its size: a piece's front and depth stretch it.

    `corner_ratio` is corner radius ÷ half side of a rounded square; `points` are those of a
    traced outline, which stands for its convex hull and is centred on its bounding box.
    """

    shape: OutlineShape
    corner_ratio: float = 0.0
    points: tuple[tuple[float, float], ...] = ()


ROUND = Outline("round")


@dataclass(frozen=True)
class Piece:
    """One pot at its checked size. Round with a depth that isn't its front is an oval."""

    id: str
    front_mm: float
    depth_mm: float
    height_mm: float
    outline: Outline = ROUND


@dataclass(frozen=True)
class Placement:
    """One pot's centre on its shelf, and how far its front is turned."""

    id: str
    x_mm: float
    y_mm: float
    turn_deg: float = 0.0


@dataclass(frozen=True)
class Layer:
    """One shelf with its pots. `post_mm` holds the next shelf up; None: nothing stands above.

    Half layers stand on the last whole one, whose `post_mm` is then under the left half and
    `right_post_mm` under the right one. A load is its whole layers from the bottom up, then the
    left ones, then the right ones. Packing lays pots on one shelf after the other and looks at the
    kiln's `Shelf.part` only; `halves` and `checked` look at that of each layer.
    """

    post_mm: float | None
    placements: tuple[Placement, ...] = ()
    part: Part = "whole"
    right_post_mm: float | None = None
