"""What a phone writes into a picture; read back with Pillow, which knows the standard."""

import io
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pi_heif
import pytest
from PIL import Image, ImageOps

from studio.demo.photo import exif_of, jpeg, turned

SOME = Image.fromarray(np.random.default_rng(1).integers(0, 255, (30, 40, 3), dtype=np.uint8))


def test_the_place_is_written_as_degrees_minutes_seconds() -> None:
    data = jpeg(SOME, exif=exif_of(latitude=-33.8568, longitude=151.2153))
    place = Image.open(io.BytesIO(data)).getexif().get_ifd(0x8825)
    assert (place[1], place[3]) == ("S", "E")
    degrees, minutes, seconds = (float(part) for part in place[2])
    assert degrees + minutes / 60 + seconds / 3600 == pytest.approx(33.8568, abs=1e-5)


def test_the_time_and_the_maker_are_written() -> None:
    at = datetime(2026, 9, 14, 10, 5, tzinfo=UTC)
    exif = Image.open(io.BytesIO(jpeg(SOME, exif=exif_of(taken_at=at)))).getexif()
    assert exif[0x010F] == "Invented Phone Works"
    assert exif.get_ifd(0x8769)[0x9003] == "2026:09:14 10:05:00"


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_viewer_that_obeys_the_orientation_sees_the_picture_upright(orientation: int) -> None:
    stored = turned(SOME, orientation)
    stored.getexif()[0x0112] = orientation
    assert np.array_equal(np.asarray(ImageOps.exif_transpose(stored)), np.asarray(SOME))


def test_the_heic_sample_opens_at_the_size_it_was_made() -> None:
    path = Path(__file__).parents[2] / "data" / "drawing.heic"
    assert path.stat().st_size < 40_000
    assert pi_heif.open_heif(path).size == (900, 1200)
