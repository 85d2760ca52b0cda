"""What looks unusual about a brief. Common practice, no source."""

from typing import Any

import pytest

from planning.selectors.briefs import cautions
from tests.cast import School
from tests.planning.projects import a_brief

pytestmark = pytest.mark.django_db


def test_a_usual_brief_has_nothing_to_be_careful_about(cast: School) -> None:
    assert cautions(a_brief(cast.teacher)) == []


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"coil_mm": 7.9}, "The coil is thinner than the wall."),
        ({"max_fired_width_mm": 31}, "The wall takes more than half of the widest pot."),
        (
            {"min_fired_height_mm": 10, "max_fired_height_mm": 19},
            "The base takes more than half of the tallest pot.",
        ),
        ({"base_mm": 7}, "The base is thinner than the wall."),
    ],
)
def test_what_is_unusual_is_said_and_still_kept(
    cast: School, changed: dict[str, Any], says: str
) -> None:
    [caution] = cautions(a_brief(cast.teacher, **changed))
    assert caution.startswith(says)


def test_a_coil_as_thick_as_the_wall_is_in_order(cast: School) -> None:
    assert cautions(a_brief(cast.teacher, coil_mm=8)) == []
