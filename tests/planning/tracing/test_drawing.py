"""Profiles from photographs of drawings whose measures are known.

A half of a millimetre is what a ruler shows and a pencil is wide (common practice, no source).
"""

from collections.abc import Callable
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from planning.tracing.drawing import Traced, traced_drawing
from planning.tracing.plane import Plane
from planning.tracing.scales import Taps

from .drawn import Drawn, Page, Sheet, drawn
from .measuring import missed
from .scene import Array, Camera

SMALL = Sheet(height_mm=190, widest_mm=60)
NEAR = Camera(1900, tilt_deg=8, towards_deg=120, roll_deg=2, bend=0.004, bend_more=-0.001)
PENCIL = {"width_mm": 0.6, "darkness": 0.55, "grain": 0.5}

SHEETS = {
    "whole, with its axis, on ruled paper": replace(SMALL, ruled_mm=8, ruled_deg=0.5),
    "half, without a line at the rim": replace(SMALL, half=True, rim_line=False),
    "whole, without axis, the card beside it": replace(SMALL, axis=False, card_on_paper=False),
    "height lines from side to side, in pen": replace(SMALL, across=False, pen=True),
    "a cylinder with its axis": replace(SMALL, straight=True, asymmetry=0),
}


@cache
def _drawn(sheet: Sheet, camera: Camera = NEAR, seed: int = 7) -> Drawn:
    return drawn(sheet, camera, seed)


def _traced(sheet: Sheet, camera: Camera = NEAR, spacing_mm: float | None = 20) -> Traced:
    return traced_drawing(_drawn(sheet, camera).photo.gray, spacing_mm=spacing_mm)


def _reason(sheet: Sheet, camera: Camera = NEAR, spacing_mm: float | None = 20) -> str:
    traced = _traced(sheet, camera, spacing_mm)
    assert (traced.trusted, traced.profile, traced.homography) == (False, None, None)
    assert traced.asymmetry_mm is None
    assert traced.reason is not None
    return traced.reason.code


class TestWhatIsRead:
    @pytest.mark.parametrize("name", SHEETS)
    def test_half_widths_and_height_are_those_of_the_drawing(self, name: str) -> None:
        sheet = SHEETS[name]
        traced = _traced(sheet)
        miss = missed(traced, _drawn(sheet), axis=sheet.axis)
        assert miss.rms_mm < 0.4
        assert miss.most_mm < 0.9
        assert miss.height_mm < 1
        assert traced.profile is not None
        assert traced.profile.whole is not sheet.half

    def test_heights_are_those_of_the_height_lines(self) -> None:
        profile = _traced(SMALL).profile
        assert profile is not None
        assert profile.heights[:-1] == pytest.approx(np.arange(0, 181, 20), abs=1e-6)

    def test_a_foot_between_height_lines_stands_on_its_own_line(self) -> None:
        sheet = replace(SMALL, first_mm=8)
        profile = _traced(sheet).profile
        assert profile is not None
        assert profile.heights[:3] == pytest.approx((0, 8, 28), abs=0.6)
        assert missed(_traced(sheet), _drawn(sheet), axis=True).most_mm < 1.2

    def test_a_spacing_that_nobody_gave_is_found(self) -> None:
        sheet = replace(SMALL, spacing_mm=25.4)
        traced = _traced(sheet, spacing_mm=None)
        assert traced.spacing_mm == 25.4
        assert missed(traced, _drawn(sheet), axis=True).most_mm < 0.9

    def test_the_difference_of_the_sides_is_told_when_both_are_drawn(self) -> None:
        sheet = replace(SMALL, asymmetry=0.04)
        truth = _drawn(sheet)
        heights = np.arange(0, 181, 20)
        apart = np.abs(truth.left(heights) - truth.right(heights)).max()
        assert _traced(sheet).asymmetry_mm == pytest.approx(apart, abs=0.8)
        assert _traced(SHEETS["half, without a line at the rim"]).asymmetry_mm is None

    def test_the_trace_can_be_laid_over_the_photo(self) -> None:
        """The homography takes mm from the axis and the table to the photo's pixels."""
        traced, truth = _traced(SMALL), _drawn(SMALL)
        assert traced.homography is not None
        places = np.array(((0.0, 0.0), (40.0, 0.0), (0.0, 180.0), (40.0, 180.0)))
        size = (truth.photo.gray.shape[1], truth.photo.gray.shape[0])
        laid = Plane(traced.homography, size, traced.bend).to_photo(places)
        seen = truth.photo.seen(places * (1, -1) + truth.axis_and_table)
        assert np.abs(laid - seen).max() < 3

    def test_a_colour_photo_reads_like_a_gray_one(self) -> None:
        gray = _drawn(SMALL).photo.gray
        colour = traced_drawing(np.stack((gray,) * 3, axis=-1), spacing_mm=20)
        assert colour.profile is not None
        assert colour.profile.right == pytest.approx(_traced(SMALL).profile.right, abs=0.05)  # type: ignore[union-attr]

    def test_a_printer_that_prints_a_little_too_small_is_put_right_by_the_height_lines(
        self,
    ) -> None:
        sheet = replace(SMALL, shrink=0.995)
        assert missed(_traced(sheet), _drawn(sheet), axis=True).most_mm < 1


class TestTaps:
    @pytest.mark.parametrize("count", [2, 4])
    def test_points_tapped_on_height_lines_do_instead_of_the_card(self, count: int) -> None:
        traced = traced_drawing(_drawn(SMALL).photo.gray, _taps(count), spacing_mm=20)
        assert traced.rough is (count == 2)
        miss = missed(traced, _drawn(SMALL), axis=True)
        assert miss.rms_mm < 0.6
        assert miss.height_mm < 1

    def test_paper_measured_downwards_reads_the_same(self) -> None:
        taps = _taps(4)
        down = Taps(taps.image, taps.paper_mm * (1, -1))
        traced = traced_drawing(_drawn(SMALL).photo.gray, down, spacing_mm=20, focal_35mm=26)
        assert missed(traced, _drawn(SMALL), axis=True).rms_mm < 0.6

    @pytest.mark.parametrize(
        "paper",
        [((0, 0), (0, 0)), ((0, 0), (1, 0), (2, 0), (3, 0)), ((0, 0), (5, 0), (0, 5), (5, 5))],
    )
    def test_points_that_cannot_be_are_refused(
        self, paper: tuple[tuple[float, float], ...]
    ) -> None:
        taps = Taps(_taps(len(paper)).image, np.array(paper, dtype=np.float64))
        traced = traced_drawing(_drawn(SMALL).photo.gray, taps, spacing_mm=20)
        assert traced.reason is not None
        assert traced.reason.code in {"points_dont_fit", "too_tilted"}


def _taps(count: int) -> Taps:
    """Points of the drawing, tapped with a finger: off by 1 to 3 pixels."""
    paper = np.array(((0.0, 0.0), (0.0, 180.0), (50.0, 180.0), (50.0, 0.0)))[:count]
    truth = _drawn(SMALL)
    seen = truth.photo.seen(paper * (1, -1) + truth.axis_and_table)
    return Taps(seen + np.random.default_rng(2).normal(0, 2, seen.shape), paper)


def _up(page: Page, x: Array, least: float = 0, most: float = 190) -> None:
    heights = np.linspace(least, most, len(x))
    page.canvas.stroke(page.line(x, heights), **PENCIL)


def _wall(page: Page) -> None:
    _up(page, page.right(np.linspace(0, 190, 300)) - 8)


def _frame(page: Page) -> None:
    for x in (-68.0, 68.0):
        _up(page, np.full(2, x), -5)


def _decor(page: Page) -> None:
    for height in (60.0, 90.0):
        across = np.linspace(-page.left(height), page.right(height), 200)
        page.canvas.stroke(page.line(across, height + 5 * np.sin(across)), **PENCIL)


def _stripes(page: Page) -> None:
    heights = np.linspace(0, 190, 300)
    for part in (-0.5, 0.5):
        _up(page, part * page.right(heights))


def _gap(page: Page) -> None:
    page.canvas.paper(page.axis + 20, page.table - 120, 55, 28)


def _hand(page: Page) -> None:
    page.canvas.paper(page.axis + 5, page.table - 16, 70, 26, tone=0.4)


def _cut(page: Page) -> None:
    page.canvas.paper(page.axis - 90, page.table - 215, 190, 52, tone=0.4)


def _shifted(page: Page) -> None:
    page.canvas.paper(page.axis + 5, page.table - 196, 66, 28)


ELSE: dict[str, tuple[Callable[[Page], None], Sheet]] = {
    "several_lines": (_wall, SMALL),
    "sides_disagree": (_wall, replace(SMALL, half=True)),
    "gaps": (_gap, SMALL),
    "ends_differ": (_shifted, SMALL),
}


class TestWhatIsNotTrusted:
    @pytest.mark.parametrize("code", ELSE)
    def test_what_else_is_drawn_or_missing_is_told(self, code: str) -> None:
        more, sheet = ELSE[code]
        assert _reason(replace(sheet, more=more)) == code

    def test_lines_across_the_pot_are_no_outline(self) -> None:
        assert _reason(replace(SMALL, more=_stripes)) == "several_lines"

    @pytest.mark.parametrize("more", [_frame, _decor])
    def test_a_frame_or_decoration_does_no_harm(self, more: Callable[[Page], None]) -> None:
        sheet = replace(SMALL, more=more)
        assert missed(_traced(sheet), _drawn(sheet), axis=True).most_mm < 0.9

    @pytest.mark.parametrize("more", [_hand, _cut])
    def test_a_drawing_that_is_covered_gives_no_numbers(self, more: Callable[[Page], None]) -> None:
        assert _reason(replace(SMALL, more=more)) in {
            "cut_off",
            "ends_differ",
            "several_lines",
        }

    def test_a_foot_that_stands_on_nothing_has_no_table(self) -> None:
        assert _reason(replace(SMALL, first_mm=8, base_line=False)) == "no_foot"

    def test_without_the_card_there_is_no_scale(self) -> None:
        assert _reason(replace(SMALL, card=False)) == "no_card"

    def test_a_card_under_a_hand_is_called_so(self) -> None:
        gray = _drawn(SMALL).photo.gray.copy()
        height, width = gray.shape
        gray[height * 6 // 10 :, : width * 35 // 100] = 90
        traced = traced_drawing(gray, spacing_mm=20)
        assert traced.reason is not None
        assert traced.reason.code == "card_partly_seen"

    @pytest.mark.parametrize(
        ("code", "camera"),
        [
            ("blurred", replace(NEAR, blur_px=5)),
            ("too_tilted", replace(NEAR, tilt_deg=32)),
            ("too_small", Camera(700)),
        ],
    )
    def test_a_poor_photo_is_told_why(self, code: str, camera: Camera) -> None:
        assert _reason(SMALL, camera) == code

    def test_a_tiny_picture_is_too_small(self) -> None:
        traced = traced_drawing(np.full((30, 2000), 200, np.uint8))
        assert traced.reason is not None
        assert traced.reason.code == "too_small"

    @pytest.mark.parametrize(("shrink", "apart"), [(0.93, 21.5), (0.983, 20.35)])
    def test_a_card_printed_to_fit_the_page_is_called_so(self, shrink: float, apart: float) -> None:
        traced = _traced(replace(SMALL, shrink=shrink))
        assert traced.reason is not None
        assert traced.reason.code == "scale_disagrees"
        assert traced.reason.values["measured_mm"] == pytest.approx(apart, abs=0.1)
        assert "printed at 100 %" in traced.reason.message

    def test_a_wrong_spacing_is_called_so(self) -> None:
        assert _reason(SMALL, spacing_mm=21.0) == "scale_disagrees"

    @pytest.mark.parametrize("spacing_mm", [None, 20.0])
    def test_without_height_lines_nothing_is_level(self, spacing_mm: float | None) -> None:
        plain = replace(SMALL, spacing_mm=500, labels=False, rim_line=False)
        assert _reason(plain, spacing_mm=spacing_mm) == "no_height_lines"

    def test_height_lines_need_some_length(self) -> None:
        assert _reason(replace(SMALL, widest_mm=14, across=False)) == "no_height_lines"

    def test_a_photo_of_a_whole_table_is_too_far_away(self) -> None:
        taps = Taps(*np.array((((0, 0), (2150, 2150)), ((0, 0), (1000, 1000))), dtype=np.float64))
        traced = traced_drawing(np.full((2900, 2200), 200, np.uint8), taps)
        assert traced.reason is not None
        assert traced.reason.code == "too_small"

    def test_height_lines_alone_are_no_pot(self) -> None:
        empty = replace(SMALL, more=lambda page: page.canvas.paper(0, 0, 1, 1))
        assert _reason(replace(empty, half=True, straight=True, widest_mm=0.3)) in {
            "no_line_work",
            "one_side",
            "several_lines",
        }

    def test_a_cylinder_without_axis_could_be_half_of_one(self) -> None:
        sheet = replace(SMALL, straight=True, asymmetry=0, axis=False)
        assert _reason(sheet) == "axis_or_side"
        told = traced_drawing(_drawn(sheet).photo.gray, spacing_mm=20, shows="whole")
        assert missed(told, _drawn(sheet), axis=False).most_mm < 0.9

    def test_what_is_said_to_be_shown_is_held_to(self) -> None:
        whole = traced_drawing(_drawn(SMALL).photo.gray, spacing_mm=20, shows="half")
        assert whole.reason is not None
        assert whole.reason.code == "several_lines"

    def test_every_sentence_is_whole(self) -> None:
        from planning.tracing.reasons import MESSAGES, Reason  # noqa: PLC0415

        values = {"measured_mm": 19.5, "spacing_mm": 20.0, "apart_mm": 30.0}
        for code in MESSAGES:
            message = Reason(code, values).message
            assert message.endswith(".")
            assert "%(" not in message
