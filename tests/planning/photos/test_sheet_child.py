"""What the process that takes a sheet apart does with its photo, run here so that a test sees
inside."""

import io
from functools import cache
from typing import Any

import cv2
import numpy as np
import pytest
from PIL import Image

from planning.photos import sheet_child
from planning.photos.sheet_child import taken_apart
from studio.uploads.decode import NotTaken
from tests.planning.photos.conftest import Told
from tests.planning.splitting.counting import boxes_of, overlap
from tests.planning.splitting.sheets import Sheet, sheet
from tests.studio.uploads import files


@cache
def _sheet() -> Sheet:
    return sheet(4, "plain", count=4)


def test_a_picture_on_its_side_is_answered_upright() -> None:
    """CIPA DC-008 (Exif 2.32): tag 0x0112, value 6 is turned a quarter clockwise to be upright."""
    lying = Image.fromarray(np.rot90(_sheet().picture))
    told = taken_apart(io.BytesIO(files.saved(lying, quality=95, exif=files.exif(6))))
    assert (told["height"], told["width"]) == _sheet().picture.shape
    assert overlap(_sheet().boxes, boxes_of(told)).diagonal().min() > 0.5


def test_a_huge_picture_is_answered_in_its_own_pixels() -> None:
    wide = 4001
    high = round(wide * _sheet().picture.shape[0] / _sheet().picture.shape[1])
    large = cv2.resize(_sheet().picture, (wide, high), interpolation=cv2.INTER_LINEAR)
    told = taken_apart(io.BytesIO(files.saved(Image.fromarray(large))))
    assert (told["width"], told["height"]) == (wide, high)
    boxes = _sheet().boxes * (wide / _sheet().picture.shape[1])
    assert overlap(boxes, boxes_of(told)).diagonal().min() > 0.5


def test_a_picture_without_memory_for_it_is_too_heavy(monkeypatch: pytest.MonkeyPatch) -> None:
    without = cv2.error("Insufficient memory")
    without.code = cv2.Error.StsNoMem
    for error in (MemoryError(), without):

        def fail(*_args: Any, error: BaseException = error) -> None:
            raise error

        monkeypatch.setattr(sheet_child, "answer", fail)
        with pytest.raises(NotTaken, match="too_heavy"):
            taken_apart(io.BytesIO(files.photo()))


def test_a_fault_of_ours_is_not_called_heavy(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_args: Any) -> None:
        error = cv2.error("an assertion")
        error.code = cv2.Error.StsAssert
        raise error

    monkeypatch.setattr(sheet_child, "answer", fail)
    with pytest.raises(cv2.error, match="an assertion"):
        taken_apart(io.BytesIO(files.photo()))


@pytest.mark.parametrize(
    ("photo", "told"),
    [
        (files.pdf(1), {"drawings": []}),
        (b"GIF89a", {"refused": "kind", "values": {}}),
    ],
)
def test_one_line_of_json_is_answered(photo: bytes, told: dict[str, Any], told_by: Told) -> None:
    answer = told_by(sheet_child, photo)
    assert {name: answer[name] for name in told} == told
