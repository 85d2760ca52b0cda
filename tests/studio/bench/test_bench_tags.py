"""How hours and figures of the bench are written."""

import pytest

from studio.bench.templatetags.bench import clock_hour, one_place, three_places, whole


@pytest.mark.parametrize(
    ("hour", "said"),
    [(0, "12"), (0.5, "12½"), (3, "3"), (4.5, "4½"), (11.75, "12"), (11.5, "11½"), (12, "12")],
)
def test_hours_are_said_as_on_a_clock(hour: float, said: str) -> None:
    assert clock_hour(hour) == said


def test_figures_have_no_more_places_than_they_carry() -> None:
    assert (whole(22.0), one_place(6.059), three_places(-0.05428)) == ("22", "6.1", "−0.054")
    assert one_place(None) == three_places(None) == "–"
