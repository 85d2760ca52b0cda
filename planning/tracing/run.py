"""A picture's bytes and what is asked of it in, an answer in plain numbers out.

For a process of its own with a bound on memory, as pictures of strangers are read: nothing here
needs Django, a database or a file.
"""

import io
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, Literal, TypeGuard

import numpy as np
from PIL import Image, ImageOps

from .arrays import Gray
from .drawing import Traced, traced_drawing
from .opencv import MAX_PIXELS
from .outline import TracedOutline, traced_outline
from .reasons import Reason
from .scales import Taps
from .sides import Shows

LONG_PX: Final = 4000
_FORMATS: Final = ("JPEG", "PNG", "WEBP")
_PAIR, _COUNTS = 2, (2, 4)


class Unreadable(Exception):  # noqa: N818 -- says what the picture is
    """`code` is "broken" or "too_many_pixels", as receiving pictures names them."""

    def __init__(self, code: str) -> None:
        super().__init__(code)
        self.code = code


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


def answer(picture: bytes, asked: Asked) -> dict[str, Any]:
    """What is drawn in a JPEG, PNG or WebP picture, ready for JSON; lengths in mm.

    `homography` takes [mm to the right, mm upwards, 1], from where axis and table meet or from the
    middle of an outline, to pixels of the upright picture. Raises Unreadable and BadScale.
    """
    taps = taps_of(asked.scale)
    gray, shrink = _gray(picture)
    if taps is not None:
        taps = Taps((taps.image + 0.5) * shrink - 0.5, taps.paper_mm)
    if asked.what == "outline":
        ring = traced_outline(gray, taps, focal_35mm=asked.focal_35mm)
        return _told(ring, shrink) | {
            "points": [] if ring.points is None else np.round(ring.points, 3).tolist()
        }
    traced = traced_drawing(
        gray,
        taps,
        spacing_mm=asked.spacing_mm,
        shows=asked.shows,
        focal_35mm=asked.focal_35mm,
    )
    return _told(traced, shrink) | {
        "profile": _rows(traced),
        "asymmetry_mm": traced.asymmetry_mm,
        "spacing_mm": traced.spacing_mm,
        "shows": None if traced.profile is None else ("whole" if traced.profile.whole else "half"),
    }


def taps_of(scale: Mapping[str, Any]) -> Taps | None:
    """The points of a scale, None for the card. Raises BadScale."""
    kind = scale.get("kind")
    if kind == "card":
        return None
    if kind != "points":
        raise BadScale("kind", 'The kind of a scale is "card" or "points".')
    image, paper = (_places(scale, name) for name in ("image", "paper_mm"))
    if len(image) != len(paper):
        raise BadScale("paper_mm", "Give as many places on paper as points in the picture.")
    return Taps(np.array(image), np.array(paper))


def _places(scale: Mapping[str, Any], name: str) -> list[list[float]]:
    places = scale.get(name)
    if not _is_list(places) or len(places) not in _COUNTS:
        raise BadScale(name, "Give two or four points.")
    for at, place in enumerate(places):
        if not _is_list(place) or len(place) != _PAIR or not all(map(_is_number, place)):
            raise BadScale(f"{name}.{at}", "A point is two ordinary numbers.")
    return [[float(x), float(y)] for x, y in places]


def _is_list(value: object) -> TypeGuard[Sequence[Any]]:
    return isinstance(value, Sequence) and not isinstance(value, str)


def _is_number(value: object) -> bool:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    return math.isfinite(value) and abs(value) < MAX_PIXELS


def _gray(picture: bytes) -> tuple[Gray, float]:
    """The upright picture as gray, its long side at most `LONG_PX`, and how much smaller it is."""
    try:
        with Image.open(io.BytesIO(picture), formats=_FORMATS) as image:
            # The header says how large it is; nothing has been decoded yet.
            size = image.size
            if size[0] * size[1] > MAX_PIXELS:
                raise Unreadable("too_many_pixels")
            shrink = min(1.0, LONG_PX / max(size))
            fitted = (max(1, round(size[0] * shrink)), max(1, round(size[1] * shrink)))
            image.draft("L", fitted)
            upright = ImageOps.exif_transpose(image.convert("L"))
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        # Pillow has a limit of its own, which whoever calls may have set.
        raise Unreadable("too_many_pixels") from error
    except (OSError, ValueError, SyntaxError) as error:
        raise Unreadable("broken") from error
    if shrink < 1:
        fitted = fitted if (size[0] > size[1]) == (upright.width > upright.height) else fitted[::-1]
        upright = upright.resize(fitted, Image.Resampling.BOX)
    return np.asarray(upright, dtype=np.uint8), shrink


def _told(traced: Traced | TracedOutline, shrink: float) -> dict[str, Any]:
    homography = None
    if traced.homography is not None:
        by = np.array(
            ((1 / shrink, 0, 0.5 / shrink - 0.5), (0, 1 / shrink, 0.5 / shrink - 0.5), (0, 0, 1))
        )
        homography = (by @ traced.homography).tolist()
    return {
        "trusted": traced.trusted,
        "rough": traced.rough,
        "reason": _reason(traced.reason),
        "homography": homography,
        "bend": traced.bend,
    }


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
