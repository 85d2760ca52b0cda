"""What the process that looks where to split a box does with its photo, run here so that a test
sees inside."""

from io import BytesIO
from typing import Any

import cv2
import numpy as np
import pytest

from planning.photos import halving_child
from planning.photos.halving_child import in_halves
from studio.uploads.decode import NotTaken
from tests.planning.photos.conftest import Told
from tests.studio.uploads import files


def two_pots(wide: int = 3000) -> bytes:
    """Paper with two ovals: the first fills half of it, the second a fifth."""
    paper = np.full((wide // 2, wide), 235, np.uint8)
    for middle, half in ((0.3, 0.25), (0.8, 0.1)):
        ends = (round(half * wide), wide // 6)
        cv2.ellipse(paper, (round(middle * wide), wide // 4), ends, 0, 0, 360, 50, wide // 200)
    return bytes(cv2.imencode(".jpg", paper)[1])


def test_a_box_is_told_as_its_halves_in_the_pixels_of_the_photo() -> None:
    told = in_halves(BytesIO(two_pots()), [[60, 60, 2880, 1380]])
    [[near, far]] = told["halves"]
    assert near[:2] == [60, 60]
    assert 1650 < near[0] + near[2] == far[0] < 2100  # from 0.55 to 0.7 there is paper
    assert far[0] + far[2] == 2940
    assert near[3] == far[3] == 1380


def test_a_file_that_is_no_picture_is_not_looked_at() -> None:
    with pytest.raises(NotTaken, match="kind"):
        in_halves(BytesIO(b"GIF89a"), [[0, 0, 10, 10]])


@pytest.mark.parametrize(
    ("photo", "told"),
    [
        (files.photo(), {"halves": [[[0, 0, 10, 9]]]}),
        (b"GIF89a", {"refused": "kind", "values": {}}),
    ],
)
def test_one_line_of_json_is_answered(photo: bytes, told: dict[str, Any], told_by: Told) -> None:
    assert told_by(halving_child, photo, [[0, 0, 10, 9]]) == told
