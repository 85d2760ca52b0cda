"""What the process that traces a photo does with it, run here so that a test sees inside."""

import io
from functools import cache
from typing import Any

import cv2
import numpy as np
import pytest
from PIL import Image

from planning.photos import child
from planning.photos.child import traced
from planning.tracing.run import Asked
from studio.uploads.decode import NotTaken
from tests.planning.photos.conftest import Told
from tests.planning.tracing.drawn import Drawn, Sheet, drawn
from tests.planning.tracing.scene import Camera
from tests.studio.uploads import files

CARD = {"kind": "card"}
ASKED = Asked("drawing", CARD, spacing_mm=20)


@cache
def _drawn() -> Drawn:
    sheet = Sheet(height_mm=150, widest_mm=50, half=True)
    return drawn(sheet, Camera(1800, tilt_deg=5, towards_deg=30), 11)


@cache
def _answer() -> dict[str, Any]:
    return traced(io.BytesIO(_drawn().photo.jpeg), ASKED)


def test_a_picture_on_its_side_reads_as_its_data_say() -> None:
    """CIPA DC-008 (Exif 2.32): tag 0x0112, value 6 is turned a quarter clockwise to be upright."""
    with Image.open(io.BytesIO(_drawn().photo.jpeg)) as image:
        turned = files.saved(
            image.transpose(Image.Transpose.ROTATE_90), quality=95, exif=files.exif(6)
        )
    told = traced(io.BytesIO(turned), ASKED)
    assert told["profile"][3]["right_mm"] == pytest.approx(
        _answer()["profile"][3]["right_mm"], abs=0.2
    )


def test_a_huge_picture_is_answered_in_its_own_pixels() -> None:
    large = cv2.resize(_drawn().photo.gray, None, fx=2.5, fy=2.5, interpolation=cv2.INTER_LINEAR)
    _, coded = cv2.imencode(".png", large, [cv2.IMWRITE_PNG_COMPRESSION, 1])
    told = traced(io.BytesIO(coded.tobytes()), ASKED)
    here, there = np.array(told["homography"]), np.array(_answer()["homography"])
    corner = np.array((30.0, 100.0, 1.0))
    seen, seen_small = here @ corner, there @ corner
    assert seen[:2] / seen[2] == pytest.approx(
        (seen_small[:2] / seen_small[2] + 0.5) * 2.5 - 0.5, abs=4
    )


def test_the_focal_length_that_a_photo_states_is_used_with_points(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[Asked] = []

    def listen(_gray: object, what: Asked, _shrink: float) -> dict[str, Any]:
        asked.append(what)
        return {}

    monkeypatch.setattr(child, "answer", listen)
    photo = files.saved(files.quarters(), exif=files.exif(focal_35mm=26))
    traced(io.BytesIO(photo), ASKED)
    traced(io.BytesIO(photo), Asked("drawing", CARD, focal_35mm=50))
    assert [each.focal_35mm for each in asked] == [26, 50]


def test_a_picture_without_memory_for_it_is_too_heavy(monkeypatch: pytest.MonkeyPatch) -> None:
    without = cv2.error("Insufficient memory")
    without.code = cv2.Error.StsNoMem
    for error in (MemoryError(), without):

        def fail(*_args: Any, error: BaseException = error) -> None:
            raise error

        monkeypatch.setattr(child, "answer", fail)
        with pytest.raises(NotTaken, match="too_heavy"):
            traced(io.BytesIO(files.photo()), ASKED)


def test_a_fault_of_ours_is_not_called_heavy(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_args: Any) -> None:
        error = cv2.error("an assertion")
        error.code = cv2.Error.StsAssert
        raise error

    monkeypatch.setattr(child, "answer", fail)
    with pytest.raises(cv2.error, match="an assertion"):
        traced(io.BytesIO(files.photo()), ASKED)


@pytest.mark.parametrize(
    ("photo", "told"),
    [
        (files.photo(), {"trusted": False, "points": []}),
        (b"GIF89a", {"refused": "kind", "values": {}}),
    ],
)
def test_one_line_of_json_is_answered(photo: bytes, told: dict[str, Any], told_by: Told) -> None:
    answer = told_by(child, photo, {"what": "outline", "scale": CARD})
    assert {name: answer[name] for name in told} == told
