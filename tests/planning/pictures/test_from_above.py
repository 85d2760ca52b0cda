"""Seen from above, base and rim stand on one middle at one scale."""

import re

import pytest

from planning.pictures.from_above import BOX, EDGE, from_above

SQUARE = [(30.0, 20.0), (-30.0, 20.0), (-30.0, -20.0), (30.0, -20.0)]
WIDE = [(x * 2, y * 3) for x, y in SQUARE]


def corners(path: str) -> list[tuple[float, float]]:
    numbers = [float(each) for each in re.findall(r"-?[\d.]+", path)]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def test_both_outlines_keep_their_proportion_and_fill_the_box() -> None:
    seen = from_above(SQUARE, WIDE)
    scale = (BOX / 2 - EDGE) / 60
    for path, points in ((seen.base, SQUARE), (seen.rim, WIDE)):
        for (x, y), (x_mm, y_mm) in zip(corners(path), points, strict=True):
            assert x == pytest.approx(BOX / 2 - x_mm * scale, abs=0.06)
            # The front is at the top, the pot's right therefore on the left.
            assert y == pytest.approx(seen.height / 2 + y_mm * scale, abs=0.06)
    assert seen.height == pytest.approx(2 * (60 * scale + EDGE))


def test_a_closed_pot_has_no_rim() -> None:
    assert from_above(SQUARE, []).rim == ""


def test_an_outline_has_an_inside() -> None:
    with pytest.raises(ValueError, match="an outline has at least three points"):
        from_above([(0, 0), (1, 1)], [])
