"""The row list: what is rolled and laid, row by row, from the base to the rim."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from planning.geometry.form import Form
from planning.geometry.said import Values

from .choices import Choices, refuse_unsound
from .cutting import Cut, cut_into_rows
from .lessons import Reached, Rest, timing
from .middle import Middle, Stretch, whole_wall
from .seams import Seams, close_seams, coils_in_row, refuse_short_table, seams_of_rows
from .sentences import Said

# A coil is mostly rolled one and a half to two times as thick as the wall that it becomes;
# beyond these it is said (common practice, no source).
THIN_COIL_PER_WALL, THICK_COIL_PER_WALL = 1.25, 2.5
CHANGED_SHARE = 0.1


@dataclass(frozen=True)
class Row:
    """One turn on the wall.

    `height_mm` (above the table), `front_mm` and `depth_mm` are of the outer surface at the row's
    top edge; `perimeter_mm` is at mid-wall, the mean over the row; `coil_g` the clay of the row;
    `coil_length_mm` how long each of its `coils` is rolled, tip to tip: its share of the perimeter
    and the scarf. Both ends are cut slanting the same way, so that the scarf takes no clay of its
    own. `seam_clock` is the first of `seams`, hours 0 to 12 round the wall from the mark at the
    front. `blend`: work in all rows since the last blend after this one. `slant_mm` is the length
    of wall from the floor (of a list that carries on: from its first row's foot) up to its top.
    """

    row: int
    height_mm: float
    front_mm: float
    depth_mm: float
    perimeter_mm: float
    coil_length_mm: float
    coil_g: float
    coils: int
    seam_clock: float
    seams: Seams
    blend: bool
    slant_mm: float


@dataclass(frozen=True)
class RowList:
    """`coil_mm` is the adjusted diameter of all coils, `section_mm2` their cross-section (clay of
    a row ÷ its perimeter), `scarf_mm` how long the slanting ends are, `wall_mm` the mean wall,
    `middle` that of the wall which they make up."""

    coil_mm: float
    section_mm2: float
    scarf_mm: float
    wall_mm: float
    rows: tuple[Row, ...]
    rests: tuple[Rest, ...]
    reached: tuple[Reached, ...]
    checks: tuple[Said, ...]
    middle: Middle = field(compare=False, repr=False)


def row_list(made: Form, choices: Choices) -> RowList:
    """The rows of a whole wall, or `RowsRefused` with every reason.

    The rows' clay adds up to the wall's exactly. Within a row it is that of the middle surface by
    Pappus; a level cut through the same edges differs from it where the wall curves.
    """
    refuse_unsound(choices)
    return lay(whole_wall(made), choices)


def lay(stretch: Stretch, choices: Choices, laid: Sequence[Row] = ()) -> RowList:
    """Rows on a stretch of wall, numbered on and with seams apart from those `laid` below."""
    cut = cut_into_rows(stretch, choices.coil_mm)
    scarf = choices.scarf_per_coil * cut.coil_mm
    refuse_short_table(choices, scarf)
    before = laid[-1].row if laid else 0
    slants, heights = cut.slant_mm.tolist(), cut.height_mm.tolist()
    timed = timing(choices.lessons, choices.soft_wall_mm, slants, heights, before)
    ends = {rest.after_row - before for rest in timed.rests}
    perimeters = cut.perimeter_mm.tolist()
    coils = [coils_in_row(each, scarf, choices.longest_coil_mm) for each in perimeters]
    below = [each.seams for each in laid]
    seams = seams_of_rows(coils, below)
    narrow = _too_narrow(stretch, cut, choices.hand_mm)
    blends = blends_after(narrow, choices.rows_per_blend, ends)
    grams = cut.section_mm2 / 1000 * choices.wet_density_g_per_cm3
    tops = np.stack((cut.height_mm, cut.front_mm, cut.depth_mm, cut.slant_mm), axis=-1).tolist()
    rows = tuple(
        Row(
            row=before + i + 1,
            height_mm=height,
            front_mm=front,
            depth_mm=depth,
            perimeter_mm=perimeters[i],
            coil_length_mm=perimeters[i] / coils[i] + scarf,
            coil_g=grams * perimeters[i],
            coils=coils[i],
            seam_clock=seams[i][0],
            seams=seams[i],
            blend=blends[i],
            slant_mm=slant,
        )
        for i, (height, front, depth, slant) in enumerate(tops)
    )
    return RowList(
        coil_mm=cut.coil_mm,
        section_mm2=cut.section_mm2,
        scarf_mm=scarf,
        wall_mm=cut.wall_mm,
        rows=rows,
        rests=timed.rests,
        reached=timed.reached,
        checks=(
            *_coil_checks(cut, choices),
            *_seam_checks(rows, [*below, *seams], len(below)),
            *_date_checks(rows, timed.reached),
        ),
        middle=cut.laid,
    )


def blends_after(narrow: Sequence[bool], rows_per_blend: int, ends: set[int]) -> list[bool]:
    """After which rows to blend: when `rows_per_blend` are laid, before and after each row that
    is too narrow for a hand, before a rest (rows counted from 1) and at the rim."""
    blends: list[bool] = []
    open_rows = 0
    for place, tight in enumerate(narrow, start=1):
        open_rows += 1
        last = place == len(narrow)
        due = tight or open_rows >= rows_per_blend or place in ends or last or narrow[place]
        open_rows = 0 if due else open_rows
        blends.append(bool(due))
    return blends


def _too_narrow(stretch: Stretch, cut: Cut, hand_mm: float) -> list[bool]:
    """Where a flat hand, half as thick as wide, doesn't fit into the opening at a row's top."""
    inside = stretch.hollow
    front, depth = (
        np.interp(cut.height_mm, inside.levels, width) for width in (inside.fronts, inside.depths)
    )
    narrow, wide = np.minimum(front, depth), np.maximum(front, depth)
    tight: list[bool] = ((wide < hand_mm) | (narrow < hand_mm / 2)).tolist()
    return tight


def _coil_checks(cut: Cut, choices: Choices) -> Iterator[Said]:
    values = {"coil_mm": cut.coil_mm, "wall_mm": cut.wall_mm}
    least, most = THIN_COIL_PER_WALL * cut.wall_mm, THICK_COIL_PER_WALL * cut.wall_mm
    if cut.coil_mm < least:
        yield Said("coil_thin", {**values, "least_mm": least})
    if cut.coil_mm > most:
        yield Said("coil_thick", {**values, "most_mm": most})
    if abs(cut.coil_mm - choices.coil_mm) > CHANGED_SHARE * choices.coil_mm:
        yield Said("coil_changed", {"asked_mm": choices.coil_mm, "coil_mm": cut.coil_mm})


def _seam_checks(rows: Sequence[Row], seams: Sequence[Seams], below: int) -> Iterator[Said]:
    close = close_seams(seams, below)
    if close is not None:
        row = rows[close[0] - below]
        values: Values = {"row": str(row.row), "coils": str(row.coils), "apart_deg": close[1]}
        yield Said("seams_close", values)


def _date_checks(rows: Sequence[Row], reached: Sequence[Reached]) -> Iterator[Said]:
    if reached and reached[-1].row < rows[-1].row:
        last = reached[-1]
        values: Values = {
            "row": str(last.row),
            "rows": str(rows[-1].row),
            "height_mm": last.height_mm,
        }
        yield Said("lessons_short", values)
