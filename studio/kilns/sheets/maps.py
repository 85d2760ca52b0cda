"""A load on paper: each layer from above, all at one scale, with a code on every pot that is read
at arm's length. Values in, blocks out.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from django.utils.translation import gettext as _

from studio.paper.blocks import Block, Drawing, Paragraph
from studio.paper.pages import Align, Face, Mark, Shape, Stroke, Words
from studio.paper.patterns import filled
from studio.paper.shapes import plated
from studio.paper.text import baseline_mm, line_mm, lines_of, width_mm

from .headings import section_heading

Points = Sequence[tuple[float, float]]

CODE_PT, CODE_LINE_MM, CAPITAL_MM, PLATE_MM = 12.0, 4.0, 2.83, 0.25
"""Capitals of 2.8 mm: 16 minutes of arc at 600 mm, the least that ISO 9241-303 asks for (from
memory). A code that is wider than its pot stands in two lines, never smaller.
"""
GAP_MM, UNDER_MM, CAPTION_PT = 3.0, 2.5, 9.0
LEAST_CELL_MM = 42.0
"""Room for a caption, however small the shelf."""
OVER_MM, ROUNDS, STAYS = 0.8, 200, 0.3
"""A code that meets another one gives way, by a third of its pot at most."""
SCALES = range(2, 41)
BAR_MM = 0.45
"""How thick the bar of a known length is drawn."""
INSIDE_MM = 0.2
"""How thick the outline of what stands in or on another pot is drawn."""


@dataclass(frozen=True)
class PotLine:
    """A pot of a layer. `outline` is in mm from the shelf's centre, y to the back; `inside` are
    those of what stands in or on it.
    """

    code: str
    x_mm: float
    y_mm: float
    outline: Points
    inside: Sequence[Points] = ()


@dataclass(frozen=True)
class LayerPrint:
    """`guests` says what stands in or on what, a sentence for each. `half` is the outline of a half
    shelf; `has_middle`: the middle line is drawn."""

    name: str
    posts: str
    pots: Sequence[PotLine]
    guests: Sequence[str] = ()
    half: Points = ()
    has_middle: bool = False


@dataclass(frozen=True)
class LoadPrint:
    """The layers from the bottom up on shelves of one outline. `surface` is the pattern of the clay
    as it goes in; `bar` a length that is drawn to scale, in mm and as it is said.
    """

    shelf: Points
    layers: Sequence[LayerPrint]
    surface: str
    bar: tuple[float, str]


def load_maps(load: LoadPrint, scale: int, room_mm: float, text_pt: float) -> list[Block]:
    """Every layer at 1 : scale, as many beside each other as have room."""
    if not load.layers:
        title = section_heading(_("What stands in it"))
        return [title, Paragraph(_("Nothing is packed yet."), text_pt)]
    said = _(
        "Seen from above, the kiln's front at the bottom; %(scale)s times smaller (1 : %(scale)s)."
    )
    across = _across(load, scale, room_mm)
    rows = [load.layers[at : at + across] for at in range(0, len(load.layers), across)]
    return [
        _heading(load, scale, room_mm),
        Paragraph(said % {"scale": scale}, text_pt, after_mm=1.5),
        *(_row(load, some, scale, room_mm, across) for some in rows),
    ]


def codes_fit(load: LoadPrint, scale: int) -> bool:
    """Whether every code stands on its pot in full size: it is hardly larger than the pot, and
    covers no other one's.
    """
    small = any(
        plate.half_x > pot_x / 2 + OVER_MM or plate.half_y > pot_y / 2 + OVER_MM
        for layer in load.layers
        for pot in layer.pots
        for plate in [_plate(pot, scale)]
        for pot_x, pot_y in [_size_mm(pot, scale)]
    )
    return not small and not any(
        _overlap(one, other)
        for layer in load.layers
        for one, other in combinations(_plates(layer, scale), 2)
    )


def _size_mm(pot: PotLine, scale: int) -> tuple[float, float]:
    return span_mm(pot.outline, 0) / scale, span_mm(pot.outline, 1) / scale


@dataclass
class _Plate:
    """The white ground of a code: its middle in mm of the paper from the shelf's, half of its size,
    and how far it may be from the middle of its pot.
    """

    lines: Sequence[str]
    x: float
    y: float
    half_x: float
    half_y: float
    about: tuple[float, float]
    reach: tuple[float, float]

    def push(self, x: float, y: float) -> None:
        """As far as it stays with its pot."""
        (at_x, at_y), (reach_x, reach_y) = self.about, self.reach
        self.x = min(at_x + reach_x, max(at_x - reach_x, self.x + x))
        self.y = min(at_y + reach_y, max(at_y - reach_y, self.y + y))


def _plates(layer: LayerPrint, scale: int) -> list[_Plate]:
    """The codes of a layer, in the middle of their pots, or aside where they would meet."""
    plates = [_plate(pot, scale) for pot in layer.pots]
    for _again in range(ROUNDS):
        meeting = [each for each in combinations(plates, 2) if _overlap(*each)]
        if not meeting:
            break
        for one, other in meeting:
            over_x = one.half_x + other.half_x - abs(one.x - other.x)
            over_y = one.half_y + other.half_y - abs(one.y - other.y)
            across, up = (over_x, 0.0) if over_x < over_y else (0.0, over_y)
            across *= 0.51 if one.x > other.x else -0.51
            up *= 0.51 if one.y > other.y else -0.51
            one.push(across, up)
            other.push(-across, -up)
    return plates


def _plate(pot: PotLine, scale: int) -> _Plate:
    lines = _lines(pot, scale)
    half_x = max(width_mm(each, CODE_PT, Face.BOLD) for each in lines) / 2 + PLATE_MM
    half_y = (CAPITAL_MM + CODE_LINE_MM * (len(lines) - 1)) / 2 + PLATE_MM
    x, y = pot.x_mm / scale, pot.y_mm / scale
    wide_mm, deep_mm = _size_mm(pot, scale)
    return _Plate(lines, x, y, half_x, half_y, (x, y), (wide_mm * STAYS, deep_mm * STAYS))


def _overlap(one: _Plate, other: _Plate) -> bool:
    return (
        abs(one.x - other.x) < one.half_x + other.half_x
        and abs(one.y - other.y) < one.half_y + other.half_y
    )


def _across(load: LoadPrint, scale: int, room_mm: float) -> int:
    """How many maps stand beside each other."""
    each_mm = max(LEAST_CELL_MM, span_mm(load.shelf, 0) / scale)
    fit = int((room_mm + GAP_MM + 1e-6) / (each_mm + GAP_MM))
    return min(max(1, fit), len(load.layers))


def _row(
    load: LoadPrint, layers: Sequence[LayerPrint], scale: int, room_mm: float, across: int
) -> Drawing:
    cell_mm = (room_mm - GAP_MM * (across - 1)) / across
    half_x, half_y = (span_mm(load.shelf, axis) / scale / 2 for axis in (0, 1))
    captions = [_caption(layer, cell_mm) for layer in layers]
    above_mm = max(map(len, captions)) * line_mm(CAPTION_PT) + 1.0

    def draw(x_mm: float, y_mm: float) -> list[Mark]:
        marks: list[Mark] = []
        for number, (layer, lines) in enumerate(zip(layers, captions, strict=True)):
            left_mm, at_mm = x_mm + number * (cell_mm + GAP_MM), y_mm
            for line in lines:
                base_mm, words_mm = at_mm + baseline_mm(CAPTION_PT), left_mm
                for text, face in line:
                    marks.append(Words(words_mm, base_mm, text, CAPTION_PT, face))
                    words_mm += width_mm(text, CAPTION_PT, face) + 2
                at_mm += line_mm(CAPTION_PT)
            middle = left_mm + half_x, y_mm + above_mm + half_y
            marks += layer_map(load, layer, scale, middle)
        return marks

    return Drawing(above_mm + 2 * half_y, draw, after_mm=UNDER_MM)


def _caption(layer: LayerPrint, cell_mm: float) -> list[list[tuple[str, Face]]]:
    """The layer and what is above it, on one line where both have room; what stands in what."""
    name = (layer.name, Face.BOLD)
    said = [] if layer.pots else [_("an empty shelf")]
    said += [layer.posts] if layer.posts else []
    rest = [(", ".join(said), Face.TEXT)] if said else []
    wide_mm = sum(width_mm(text, CAPTION_PT, face) + 2 for text, face in [name, *rest])
    guests = [
        [(line, Face.TEXT)]
        for said_of in layer.guests
        for line in lines_of(said_of, cell_mm, CAPTION_PT, Face.TEXT)
    ]
    return [*([[name, *rest]] if wide_mm <= cell_mm + 2 else [[name], rest]), *guests]


def layer_map(
    load: LoadPrint, layer: LayerPrint, scale: int, middle_mm: tuple[float, float]
) -> list[Mark]:
    """One shelf from above about a point of the page."""
    across, down = middle_mm

    def on_paper(points: Points) -> tuple[tuple[float, float], ...]:
        return tuple((across + x / scale, down - y / scale) for x, y in points)

    marks: list[Mark] = [Shape(on_paper(load.shelf), width_mm=0.15 if layer.half else 0.5)]
    if layer.half:
        marks.append(Shape(on_paper(layer.half), width_mm=0.5))
    if layer.has_middle:
        deep_mm = span_mm(load.shelf, 1) / scale / 2
        marks.append(Stroke(across, down - deep_mm, across, down + deep_mm, 0.15))
    for pot in layer.pots:
        marks += filled(Shape(on_paper(pot.outline), width_mm=0.35), load.surface)
        marks += [Shape(on_paper(each), width_mm=INSIDE_MM) for each in pot.inside]
    for plate in _plates(layer, scale):
        marks += _code(plate.lines, across + plate.x, down - plate.y)
    return marks


def _code(lines: Sequence[str], x_mm: float, y_mm: float) -> list[Mark]:
    first_mm = y_mm + (CAPITAL_MM - CODE_LINE_MM * (len(lines) - 1)) / 2
    return [
        mark
        for number, line in enumerate(lines)
        for mark in plated(
            Words(x_mm, first_mm + number * CODE_LINE_MM, line, CODE_PT, Face.BOLD, Align.CENTRE),
            pad_mm=PLATE_MM,
        )
    ]


def _lines(pot: PotLine, scale: int) -> list[str]:
    """A code as it is written; broken after its hyphen where the pot is narrower than it is."""
    wide_mm = span_mm(pot.outline, 0) / scale
    if width_mm(pot.code, CODE_PT, Face.BOLD) <= wide_mm or "-" not in pot.code:
        return [pot.code]
    first, _hyphen, rest = pot.code.partition("-")
    return [f"{first}-", rest]


def _heading(load: LoadPrint, scale: int, room_mm: float) -> Drawing:
    """With a length to lay a ruler on, whatever a copier made of the page."""
    long_mm, said = load.bar[0] / scale, load.bar[1]
    title = section_heading(_("What stands in it"))
    [part] = title.parts(room_mm)

    def draw(x_mm: float, y_mm: float) -> list[Mark]:
        right_mm, base_mm = x_mm + room_mm, y_mm + part.height_mm - 2.0
        left_mm = right_mm - long_mm
        return [
            *part.draw(x_mm, y_mm),
            Stroke(left_mm, base_mm, right_mm, base_mm, BAR_MM),
            *(Stroke(at, base_mm - 1.2, at, base_mm + 1.2, BAR_MM) for at in (left_mm, right_mm)),
            Words(left_mm - 2, base_mm + 1.1, said, CAPTION_PT, align=Align.RIGHT),
        ]

    return Drawing(part.height_mm, draw, after_mm=title.after_mm, keep=True)


def span_mm(points: Points, axis: int) -> float:
    values = [point[axis] for point in points]
    return max(values) - min(values)
