"""A picture's bytes in, plain numbers out."""

import io
import json
from functools import cache
from typing import Any

import cv2
import numpy as np
import pytest
from PIL import Image

from planning.tracing.opencv import MAX_PIXELS
from planning.tracing.run import Asked, BadScale, Unreadable, answer, taps_of

from .bases import base
from .drawn import Drawn, Sheet, drawn
from .scene import Camera

CARD = {"kind": "card"}
SHEET = Sheet(height_mm=150, widest_mm=50, half=True)


@cache
def _drawn() -> Drawn:
    return drawn(SHEET, Camera(1800, tilt_deg=5, towards_deg=30), 11)


@cache
def _answer() -> dict[str, Any]:
    return answer(_drawn().photo.jpeg, Asked("drawing", CARD, spacing_mm=20))


def test_a_drawing_is_answered_as_a_plan_takes_it() -> None:
    told = json.loads(json.dumps(_answer()))
    assert (told["trusted"], told["reason"], told["rough"]) == (True, None, False)
    assert (told["shows"], told["asymmetry_mm"], told["spacing_mm"]) == ("half", None, 20)
    rows = told["profile"]
    assert [row["height_mm"] for row in rows[:-1]] == pytest.approx(np.arange(0, 141, 20), abs=0.01)
    assert rows[3]["right_mm"] == rows[3]["left_mm"]
    assert rows[3]["right_mm"] == pytest.approx(float(_drawn().right(60)), abs=0.8)


def test_a_picture_on_its_side_reads_as_its_data_say() -> None:
    """CIPA DC-008 (Exif 2.32): tag 0x0112, value 6 is turned a quarter clockwise to be upright."""
    with Image.open(io.BytesIO(_drawn().photo.jpeg)) as image:
        data = Image.Exif()
        data[0x0112] = 6
        turned = io.BytesIO()
        image.transpose(Image.Transpose.ROTATE_90).save(turned, "JPEG", quality=95, exif=data)
    told = answer(turned.getvalue(), Asked("drawing", CARD, spacing_mm=20))
    assert told["profile"][3]["right_mm"] == pytest.approx(
        _answer()["profile"][3]["right_mm"], abs=0.2
    )


def test_a_huge_picture_is_read_smaller_and_answered_in_its_own_pixels() -> None:
    gray = _drawn().photo.gray
    large = cv2.resize(gray, None, fx=2.5, fy=2.5, interpolation=cv2.INTER_LINEAR)
    _, coded = cv2.imencode(".png", large, [cv2.IMWRITE_PNG_COMPRESSION, 1])
    told = answer(coded.tobytes(), Asked("drawing", CARD, spacing_mm=20))
    here, there = np.array(told["homography"]), np.array(_answer()["homography"])
    corner = np.array((30.0, 100.0, 1.0))
    seen, seen_small = here @ corner, there @ corner
    assert seen[:2] / seen[2] == pytest.approx(
        (seen_small[:2] / seen_small[2] + 0.5) * 2.5 - 0.5, abs=4
    )


def test_points_are_pixels_of_the_picture() -> None:
    paper = np.array(((0.0, 0.0), (0.0, 140.0), (45.0, 140.0), (45.0, 0.0)))
    seen = _drawn().photo.seen(paper * (1, -1) + _drawn().axis_and_table)
    scale = {"kind": "points", "image": seen.tolist(), "paper_mm": paper.tolist()}
    told = answer(_drawn().photo.jpeg, Asked("drawing", scale, spacing_mm=20))
    assert told["trusted"]
    assert told["profile"][3]["right_mm"] == pytest.approx(float(_drawn().right(60)), abs=0.8)


def test_an_outline_is_answered_as_a_traced_one() -> None:
    truth = base("oval", Camera(1800), 3)
    told = answer(truth.photo.jpeg, Asked("outline", CARD))
    assert told["trusted"]
    width, depth = np.ptp(np.array(told["points"]), axis=0)
    assert (width, depth) == pytest.approx((120, 72), abs=1)


def test_what_is_not_trusted_has_a_reason_and_no_numbers() -> None:
    _, coded = cv2.imencode(".jpg", np.full((900, 700), 200, np.uint8))
    for what in ("drawing", "outline"):
        told = answer(coded.tobytes(), Asked(what, CARD))
        assert told["trusted"] is False
        assert told["reason"]["code"] == "no_card"
        assert told["reason"]["message"].startswith("The scale card is not seen.")
        assert told.get("profile", []) == told.get("points", []) == []
        assert told["homography"] is None


@pytest.mark.parametrize("picture", [b"", b"GIF89a", b"\xff\xd8\xff\xe0", b"\x89PNG\r\n\x1a\n"])
def test_what_is_no_picture_is_broken(picture: bytes) -> None:
    with pytest.raises(Unreadable, match="broken"):
        answer(picture, Asked("drawing", CARD))


def test_a_cut_off_picture_is_broken() -> None:
    with pytest.raises(Unreadable, match="broken"):
        answer(_drawn().photo.jpeg[:20000], Asked("drawing", CARD))


def test_a_picture_with_too_many_pixels_is_refused_by_its_header(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", None)
    picture = io.BytesIO()
    Image.new("1", (MAX_PIXELS // 5000 + 1, 5000)).save(picture, "PNG")
    with pytest.raises(Unreadable, match="too_many_pixels"):
        answer(picture.getvalue(), Asked("drawing", CARD))


def test_a_lower_limit_of_whoever_calls_holds_too(monkeypatch: pytest.MonkeyPatch) -> None:
    picture = io.BytesIO()
    Image.new("L", (50, 50)).save(picture, "PNG")
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", 1000)
    with pytest.raises(Unreadable, match="too_many_pixels"):
        answer(picture.getvalue(), Asked("drawing", CARD))


TWO = [[0, 0], [1, 1]]


@pytest.mark.parametrize(
    ("path", "scale"),
    [
        ("kind", {}),
        ("kind", {"kind": "ruler"}),
        ("image", {"kind": "points"}),
        ("image", {"kind": "points", "image": "ab", "paper_mm": TWO}),
        ("image", {"kind": "points", "image": [[0, 0]] * 3, "paper_mm": TWO}),
        ("image.1", {"kind": "points", "image": [[0, 0], [0, "1"]], "paper_mm": TWO}),
        ("image.0", {"kind": "points", "image": [[0, True], [0, 1]], "paper_mm": TWO}),
        ("paper_mm.0", {"kind": "points", "image": TWO, "paper_mm": [[0], [0, 1]]}),
        ("paper_mm.1", {"kind": "points", "image": TWO, "paper_mm": [[0, 0], [0, float("nan")]]}),
        ("paper_mm", {"kind": "points", "image": TWO, "paper_mm": [[0, 0]] * 4}),
    ],
)
def test_a_scale_that_is_none_is_told_at_its_field(path: str, scale: dict[str, Any]) -> None:
    with pytest.raises(BadScale, match=r"\.$") as refused:
        taps_of(scale)
    assert refused.value.path == path
