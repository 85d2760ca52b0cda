"""Levels of a silhouette, and silhouettes as closed and open paths. Pure."""

from bisect import bisect_right
from collections.abc import Sequence
from math import inf

from planning.pictures.outline import Place, Sample, point_text, smooth_path

APART = 17.0
"""Labels that are closer could not be read, drawing units."""


def level_at(silhouette: Sequence[Sample], height: float) -> Sample:
    """The outline at a height, straight between two samples; its ends beyond."""
    heights = [sample[0] for sample in silhouette]
    place = bisect_right(heights, height)
    if place in (0, len(heights)):
        return (height, *silhouette[min(place, len(heights) - 1)][1:])
    low, high = silhouette[place - 1], silhouette[place]
    part = (height - low[0]) / (high[0] - low[0])
    return (height, low[1] + part * (high[1] - low[1]), low[2] + part * (high[2] - low[2]))


def up_to(silhouette: Sequence[Sample], height: float) -> list[Sample]:
    """The part of the outline from the table to a height."""
    return [each for each in silhouette if each[0] < height] + [level_at(silhouette, height)]


def closed_path(samples: Sequence[Sample], place: Place) -> str:
    """Up the right side, level across the top, down the left side."""
    right = [place.right(each) for each in samples]
    left = [place.left(each) for each in reversed(samples)]
    return f"M{point_text(right[0])}{smooth_path(right)}L{point_text(left[0])}{smooth_path(left)}Z"


def open_paths(samples: Sequence[Sample], place: Place) -> str:
    """Both sides by themselves."""
    right = [place.right(each) for each in samples]
    left = [place.left(each) for each in samples]
    return f"M{point_text(right[0])}{smooth_path(right)}M{point_text(left[0])}{smooth_path(left)}"


def room_for_words(down: Sequence[float]) -> list[bool]:
    """Which of some levels, from the top `down` in drawing units, have room for a label: all that
    are not too near the last one that has."""
    found, last = [], -inf
    for y in down:
        found.append(y - last >= APART)
        last = y if found[-1] else last
    return found
