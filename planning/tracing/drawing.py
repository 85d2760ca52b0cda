"""A photographed side drawing at full size → the pot's half-widths at its height lines."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from .arrays import Floats, Gray
from .levelling import Levelled, levelled
from .opencv import cv2
from .paper import paper_in
from .profile import Profile, profile_in
from .reasons import Reason, Untrusted
from .scales import Start, Taps, start_from_card, start_from_taps
from .sides import Shows
from .view import Box, photo_on_paper, viewed

_BESIDE_MM: Final = 25.0
_FREE_MM: Final = 10.0
_LEAST_PX: Final = 400
"""A picture with a shorter side is of no use for half a millimetre."""


@dataclass(frozen=True)
class Traced:
    """A profile that was read, or the reason why not.

    `homography` (3, 3) takes mm right of the axis and above the table to pixels of the photo,
    before the lens bends them by `bend`; `rough` says that two points gave the scale.
    """

    profile: Profile | None
    reason: Reason | None
    homography: Floats | None = None
    bend: float = 0.0
    rough: bool = False
    spacing_mm: float | None = None

    @property
    def trusted(self) -> bool:
        return self.profile is not None

    @property
    def asymmetry_mm(self) -> float | None:
        """The largest difference of left and right; None where only half is drawn."""
        if self.profile is None or not self.profile.whole:
            return None
        return float(np.abs(self.profile.left - self.profile.right).max())


def gray_of(photo: Gray) -> Gray:
    """An upright photo (height, width) or (height, width, 3) as gray."""
    if photo.shape[2:]:
        return np.asarray(cv2.cvtColor(photo, cv2.COLOR_RGB2GRAY))
    return photo


def started(photo: Gray, taps: Taps | None, focal_35mm: float | None) -> Start:
    """Raises Untrusted where the photo or its scale give no measures."""
    if min(photo.shape) < _LEAST_PX:
        raise Untrusted("too_small")
    return start_from_card(photo) if taps is None else start_from_taps(photo, taps, focal_35mm)


def traced_drawing(
    photo: Gray,
    taps: Taps | None = None,
    *,
    spacing_mm: float | None = None,
    shows: Shows | None = None,
    focal_35mm: float | None = None,
) -> Traced:
    """The profile drawn on the paper in an upright photo, RGB or gray, 8 bits.

    Without `taps` the scale card is looked for. `spacing_mm` is that of the height lines, one of
    the usual ones when None; `shows` says whether half or the whole is drawn, where that is known;
    `focal_35mm` is only of use with points: the focal length on a 36 mm wide frame, as a photo's
    own data say.
    """
    gray = gray_of(photo)
    try:
        start = started(gray, taps, focal_35mm)
        paper = paper_in(gray, start.covered)
        level = levelled(gray, paper, start, spacing_mm)
        view = viewed(gray, paper, level.plane, _round_lines(level))
        profile = profile_in(view, level.spacing_mm, level.lines.numbers, shows)
    except Untrusted as untrusted:
        return Traced(None, untrusted.reason)
    return Traced(
        profile,
        None,
        _from_axis_and_table(level, profile),
        level.plane.bend,
        start.rough,
        level.spacing_mm,
    )


def _round_lines(level: Levelled) -> Box:
    x, numbers = level.lines.places[:, 0], level.lines.numbers
    box = Box(
        float(x.min()) - _BESIDE_MM,
        (numbers[0] - 1) * level.spacing_mm - _BESIDE_MM,
        float(x.max()) + _BESIDE_MM,
        (numbers[-1] + 1) * level.spacing_mm + _FREE_MM,
    )
    return box.within(photo_on_paper(level.plane))


def _from_axis_and_table(level: Levelled, profile: Profile) -> Floats:
    place = np.array(
        ((1, profile.axis_slope, profile.axis_mm), (0, -1, profile.table_mm), (0, 0, 1))
    )
    return level.plane.turned(place).homography
