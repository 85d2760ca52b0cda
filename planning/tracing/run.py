"""A picture and what is asked of it in, an answer in plain numbers out.

For a process of its own with a bound on memory, as pictures of strangers are read: nothing here
needs Django, a database or a file.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, Literal, TypeGuard

import numpy as np

from planning.geometry.said import sentence

from .arrays import Floats, Gray
from .drawing import Traced, traced_drawing
from .opencv import MAX_PIXELS
from .outline import TracedOutline, traced_outline
from .reasons import Reason, Untrusted
from .scales import Taps, plane_of
from .sides import Shows

LEAST_SPACING_MM: Final = 5
MOST_SPACING_MM: Final = 200
_PAIR: Final = 2
_COUNTS: Final = (2, 4)


class BadScale(ValueError):  # noqa: N818 -- says what the scale is
    """A scale that isn't one; `path` is the field and the text a sentence."""

    def __init__(self, path: str, message: str) -> None:
        super().__init__(message)
        self.path = path


@dataclass(frozen=True)
class Asked:
    """What is drawn, and what is known of it. `scale` is {"kind": "card"} or {"kind": "points",
    "image": two or four [x, y] in pixels of the upright picture, "paper_mm": where they are}."""

    what: Literal["drawing", "outline"]
    scale: Mapping[str, Any]
    spacing_mm: float | None = None
    shows: Shows | None = None
    focal_35mm: float | None = None


def answer(photo: Gray, asked: Asked, shrink: float = 1.0) -> dict[str, Any]:
    """What is drawn in an upright photo, gray or RGB, 8 bits, ready for JSON; lengths in mm.

    `shrink` says how much smaller `photo` is than the picture in whose pixels `asked.scale` is
    given. `homography` takes [mm to the right, mm upwards, 1], from where axis and table meet or
    from the middle of an outline, to pixels of that picture, before the lens bends them by `bend`;
    `points_homography` takes places of `paper_mm` there, also where nothing could be traced.
    Raises BadScale.
    """
    taps = taps_of(asked.scale)
    if taps is not None:
        taps = Taps((taps.image + 0.5) * shrink - 0.5, taps.paper_mm)
    told = {"points_homography": _of_points(taps, photo, shrink)}
    if asked.what == "outline":
        ring = traced_outline(photo, taps, focal_35mm=asked.focal_35mm)
        return (
            told
            | _told(ring, shrink)
            | {"points": [] if ring.points is None else np.round(ring.points, 3).tolist()}
        )
    traced = traced_drawing(
        photo,
        taps,
        spacing_mm=asked.spacing_mm,
        shows=asked.shows,
        focal_35mm=asked.focal_35mm,
    )
    return told | _told(traced, shrink) | _profile(traced)


def _profile(traced: Traced) -> dict[str, Any]:
    """`drawn_on` says on which side of its axis a half is drawn."""
    profile = traced.profile
    if profile is None:
        shows = drawn_on = None
    elif profile.whole:
        shows, drawn_on = "whole", "both"
    else:
        shows, drawn_on = "half", "left" if profile.on_left else "right"
    return {
        "profile": _rows(traced),
        "asymmetry_mm": traced.asymmetry_mm,
        "spacing_mm": traced.spacing_mm,
        "shows": shows,
        "drawn_on": drawn_on,
    }


def taps_of(scale: Mapping[str, Any]) -> Taps | None:
    """The points of a scale, None for the card. Raises BadScale."""
    kind = scale.get("kind")
    if kind == "card":
        return None
    if kind != "points":
        raise BadScale("kind", sentence('The kind of a scale is "card" or "points".'))
    image, paper = (_places(scale, name) for name in ("image", "paper_mm"))
    if len(image) != len(paper):
        raise BadScale(
            "paper_mm", sentence("Give as many places on paper as points in the picture.")
        )
    return Taps(np.array(image), np.array(paper))


def _places(scale: Mapping[str, Any], name: str) -> list[list[float]]:
    places = scale.get(name)
    if not _is_list(places) or len(places) not in _COUNTS:
        raise BadScale(name, sentence("Give two or four points."))
    for at, place in enumerate(places):
        if not _is_list(place) or len(place) != _PAIR or not all(map(_is_number, place)):
            raise BadScale(f"{name}.{at}", sentence("A point is two ordinary numbers."))
    return [[float(x), float(y)] for x, y in places]


def _is_list(value: object) -> TypeGuard[Sequence[Any]]:
    return isinstance(value, Sequence) and not isinstance(value, str)


def _is_number(value: object) -> bool:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    # No number that isn't finite is below, and a whole number of any length is compared exactly.
    return abs(value) < MAX_PIXELS


def _told(traced: Traced | TracedOutline, shrink: float) -> dict[str, Any]:
    return {
        "trusted": traced.trusted,
        "rough": traced.rough,
        "reason": _reason(traced.reason),
        "homography": _unshrunk(traced.homography, shrink),
        "bend": traced.bend,
    }


def _of_points(taps: Taps | None, photo: Gray, shrink: float) -> list[list[float]] | None:
    if taps is None:
        return None
    try:
        plane = plane_of(taps, (photo.shape[1], photo.shape[0]))
    except Untrusted:
        return None
    return _unshrunk(plane.homography, shrink)


def _unshrunk(homography: Floats | None, shrink: float) -> list[list[float]] | None:
    """To pixels of the picture as it was before it was shrunk."""
    if homography is None:
        return None
    by = np.array(
        ((1 / shrink, 0, 0.5 / shrink - 0.5), (0, 1 / shrink, 0.5 / shrink - 0.5), (0, 0, 1))
    )
    larger: list[list[float]] = (by @ homography).tolist()
    return larger


def _reason(reason: Reason | None) -> dict[str, Any] | None:
    if reason is None:
        return None
    return {"code": reason.code, "message": reason.message, "values": dict(reason.values)}


def _rows(traced: Traced) -> list[dict[str, float]]:
    if traced.profile is None:
        return []
    rows = zip(traced.profile.heights, traced.profile.left, traced.profile.right, strict=True)
    return [
        {"height_mm": round(h, 3), "left_mm": round(left, 3), "right_mm": round(right, 3)}
        for h, left, right in np.array(list(rows)).tolist()
    ]
