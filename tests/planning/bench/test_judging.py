"""A pot that carries on is judged above the agreed edge by the outline that was agreed on."""

import numpy as np
import pytest

from planning.bench.checking import Tolerance, build_check
from planning.bench.judging import judged, onward, onward_outline
from planning.bench.measured import Measured
from planning.bench.sentences import MeasuredRefused
from planning.geometry.form import Form, form
from planning.geometry.inputs import Body, Outline, PlanInputs, Point, Wall
from planning.rows.carrying_on import Standing

BODY = Body(1.95, 21, 6, 10.5, 6)
NEAR = Tolerance(5, 3)


def cylinder(half_mm: float = 80, height_mm: float = 200) -> Form:
    """Upright, so that every planned width is known without computing."""
    return form(
        PlanInputs(
            profile=(Point(0, half_mm, half_mm), Point(height_mm, half_mm, half_mm)),
            side_profile=None,
            outline=Outline("round"),
            rim_outline=None,
            foot_ring=None,
            added_g=0,
            drawn_as="wet",
            wall=Wall(8, 8),
            base_mm=10,
            corner_coil_mm=0,
            working_allowance_pct=20,
            body=BODY,
        )
    )


def test_without_consent_it_is_the_plain_build_check() -> None:
    made = cylinder()
    measured = [Measured(150, "soft", front_mm=172), Measured(60, "stiff", front_mm=158)]
    found = judged(made, 6, measured, NEAR)
    assert tuple(each.check for each in found) == build_check(made, 6, measured, NEAR)
    assert [each.width_mm for each in found] == [172, 158]
    assert [each.planned["front_mm"] for each in found] == pytest.approx([160, 160])


def test_a_way_round_and_a_depth_show_the_width_that_they_mean() -> None:
    """Of a circle of 160 mm: π × 160 round."""
    measured = [
        Measured(150, "soft", perimeter_mm=np.pi * 170),
        Measured(100, "soft", depth_mm=150),
    ]
    found = judged(cylinder(), 6, measured, NEAR)
    assert [each.width_mm for each in found] == pytest.approx([170, 150])


def test_half_way_to_the_rim_half_of_what_was_agreed_is_planned() -> None:
    """The smooth step 1 - 3u² + 2u³ is 1/2 at u = 1/2: between 176 mm at the edge and 160 mm at
    the rim the new outline is 168 mm wide, and 176 mm is 8 mm too wide."""
    made = cylinder()
    way = onward(made, Standing(100, front_mm=176))
    [found] = judged(made, 6, [Measured(150, "soft", front_mm=176)], NEAR, way)
    assert found.planned["front_mm"] == pytest.approx(168, abs=0.01)
    assert found.check.deviation_mm == pytest.approx(8, abs=0.01)
    [rim] = judged(made, 6, [Measured(200, "soft", front_mm=160)], NEAR, way)
    assert rim.planned["front_mm"] == pytest.approx(160)
    assert rim.check.action == "within"


def test_at_and_below_the_edge_the_plan_counts() -> None:
    made = cylinder()
    way = onward(made, Standing(100, front_mm=176))
    measured = [Measured(100, "soft", front_mm=160), Measured(150, "soft", front_mm=168)]
    low, high = judged(made, 6, measured, NEAR, way)
    assert low.planned["front_mm"] == pytest.approx(160)
    assert (low.check.action, high.check.action) == ("within", "within")


def test_below_something_stiff_nothing_is_soft() -> None:
    """What is stiff above the edge has stiffened below it too: it is left."""
    made = cylinder()
    way = onward(made, Standing(100, front_mm=176))
    measured = [Measured(150, "stiff", front_mm=168), Measured(80, "soft", front_mm=180)]
    high, low = judged(made, 6, measured, NEAR, way)
    assert high.check.action == "within"
    assert low.check.action == "leave"


def test_what_is_wrong_is_said_at_the_place_as_it_was_given() -> None:
    made = cylinder()
    way = onward(made, Standing(100, front_mm=176))
    measured = [
        Measured(150, "soft", front_mm=168),
        Measured(60, "soft"),
        Measured(170, "soft", front_mm=9000),
    ]
    with pytest.raises(MeasuredRefused) as refused:
        judged(made, 6, measured, NEAR, way)
    assert {each.path for each in refused.value.problems} == {
        "measured.1.front_mm",
        "measured.2.front_mm",
    }


def test_bounds_are_refused_as_by_the_build_check() -> None:
    with pytest.raises(MeasuredRefused) as refused:
        judged(cylinder(), 6, [Measured(60, "soft", front_mm=160)], Tolerance(99, 3))
    assert [each.path for each in refused.value.problems] == ["tolerance_mm"]


def test_the_outline_from_the_edge_ends_at_the_plan_s_rim() -> None:
    made = cylinder()
    silhouette = [(0.0, 80.0, 80.0), (90.0, 80.0, 80.0), (150.0, 80.0, 80.0), (200.0, 80.0, 80.0)]
    way = onward(made, Standing(100, front_mm=176))
    outline = np.array(onward_outline(silhouette, made, way))
    assert outline[:, 0].tolist() == [100, 150, 200]
    assert outline[:, 1] == pytest.approx([88, 84, 80], abs=0.01)
    assert outline[:, 2] == pytest.approx([88, 84, 80], abs=0.01)
