"""All pots of a shelf stand on one line at one scale, and none leaves its box."""

import re
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planning.pictures.outline import Sample
from planning.pictures.shelf import BOX, FOOT, LEAST_HEIGHT, Ware, alone, one_scale, shelf


def ware(silhouette: list[Sample] | None, **words: str) -> Ware:
    said: dict[str, Any] = {
        "code": "K7-3F",
        "name": "Ode A.",
        "url": "/",
        "stage": "wet",
        "stage_label": "wet",
    }
    return Ware(silhouette=silhouette, **(said | words))


def cylinder(height: float, half: float) -> list[Sample]:
    return [(0, half, half), (height / 2, half, half), (height, half, half)]


pots = st.builds(cylinder, st.floats(40, 600), st.floats(15, 300))


@given(st.lists(pots, min_size=1, max_size=12))
def test_every_pot_fits_its_box(silhouettes: list[list[Sample]]) -> None:
    stood = shelf([ware(each) for each in silhouettes])
    for standing in stood.standing:
        assert standing.drawing is not None
        rim = standing.drawing.rim
        assert 0 < rim.cx - rim.rx < rim.cx + rim.rx < BOX
        assert rim.cy - rim.ry > 0
        assert 0 < standing.mark[0] < BOX - 16
        assert standing.mark[1] - 13 > 0


@given(pots, pots)
def test_two_pots_keep_their_proportion(one: list[Sample], two: list[Sample]) -> None:
    first, second = (each.drawing for each in shelf([ware(one), ware(two)]).standing)
    assert first is not None
    assert second is not None
    assert first.rim.rx / second.rim.rx == pytest.approx(one[-1][2] / two[-1][2])


def test_a_height_is_marked_across_the_pot_and_a_little_beyond_it() -> None:
    pot = replace(ware(cylinder(280, 60)), line_mm=70)
    nothing = replace(ware(None), line_mm=70)
    stood = shelf([pot, ware(cylinder(280, 60)), nothing])
    marked, plain, empty = stood.standing
    assert (plain.line, empty.line) == ("", "")
    assert marked.drawing is not None
    left, y, right = map(float, re.findall(r"[\d.]+", marked.line))
    foot, rim = stood.height - FOOT, marked.drawing.rim
    assert (foot - y) / (foot - rim.cy) == pytest.approx(70 / 280, abs=0.002)
    assert left < rim.cx - rim.rx < rim.cx + rim.rx < right


def test_all_pots_stand_on_the_same_line() -> None:
    stood = shelf([ware(cylinder(280, 60)), ware(cylinder(90, 120))])
    feet = {
        re.match(r"M\S+ (\S+?)c", each.drawing.profile)[1]  # type: ignore[index]
        for each in stood.standing
        if each.drawing
    }
    assert feet == {f"{stood.height - FOOT:.0f}"}


def test_a_piece_without_a_plan_leaves_its_place_free() -> None:
    stood = shelf([ware(None, image_url="/sheet.jpg"), ware(None)])
    assert [each.drawing for each in stood.standing] == [None, None]
    assert stood.view_box == f"0 0 150 {LEAST_HEIGHT:.0f}"


def test_a_shelf_of_low_bowls_still_has_room_for_a_sheet() -> None:
    assert shelf([ware(cylinder(60, 150))]).height == LEAST_HEIGHT


def test_a_mark_stands_beside_the_rim_and_within_the_box() -> None:
    narrow, wide = shelf([ware(cylinder(280, 20)), ware(cylinder(100, 170))]).standing
    assert narrow.drawing is not None
    assert narrow.mark == (narrow.drawing.rim.cx + narrow.drawing.rim.rx + 7, narrow.drawing.rim.cy)
    assert wide.mark[0] == 130
    assert wide.mark_at.startswith("translate(130.0 ")


def test_a_lopsided_pot_counts_by_its_wider_side() -> None:
    lopsided = [(0.0, 10.0, 90.0), (50.0, 10.0, 90.0)]
    assert one_scale([lopsided], tallest=1000, widest=180) == 1.0


def test_nothing_has_the_scale_of_the_page() -> None:
    assert one_scale([], tallest=100, widest=100) == 1.0


@given(pots, st.floats(40, 300))
def test_a_pot_alone_fits_its_width(silhouette: list[Sample], width: float) -> None:
    drawing, height = alone(silhouette, width=width)
    assert drawing.rim.rx * 2 <= width - 8 + 1e-6
    assert 0 < drawing.rim.cy - drawing.rim.ry < height
