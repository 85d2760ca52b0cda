"""What is said of a path of the plan stands at the field that a person can change."""

import pytest

from planning.forms.said import Spot, spot_of
from planning.plans.inputs import Line
from tests.planning.work import drawn_plan

# The second line lacks its right, the side drawing has the first and the last line only.
DRAWN = drawn_plan((Line(0, 5, 5, 4, 4), Line(50, 8), Line(90, 9, 9), Line(120, 6, 6, 5, 5)))
ROWS = (0, 4, 1, 2)


@pytest.mark.parametrize(
    ("path", "anchor"),
    [
        ("profile.1.left_mm", "id_lines-1-left"),
        ("profile.2.height_mm", "id_lines-2-height"),
        ("side_profile.1.back_mm", "id_lines-2-back"),
        ("side_profile.0.height_mm", "id_lines-0-height"),
        ("profile.9.left_mm", ""),
        ("profile", ""),
        ("outline.points.3", "id_outline_0"),
        ("outline.depth_ratio", "id_depth_pct"),
        ("rim_outline.corner_ratio", "id_rim_corner_pct"),
        ("wall_mm.rim", "id_wall_rim"),
        ("wall_mm", "id_wall_base"),
        ("foot_ring.width_mm", "id_foot_width"),
        ("coil_mm", ""),
        ("", ""),
    ],
)
def test_a_path_leads_to_its_field(path: str, anchor: str) -> None:
    assert spot_of(path, DRAWN, ROWS).anchor == anchor


def test_what_says_that_a_line_is_not_measured_counts_every_line() -> None:
    assert spot_of("profile.1", DRAWN, range(4), with_gaps=True) == Spot("left", 1)
    assert spot_of("profile.3.front_mm", DRAWN, range(4), with_gaps=True).of_the_side
