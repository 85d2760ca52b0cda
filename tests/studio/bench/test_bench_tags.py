"""How figures of the bench are written."""

from studio.bench.templatetags.bench import one_place, three_places, whole


def test_figures_have_no_more_places_than_they_carry() -> None:
    assert (whole(22.0), one_place(6.059), three_places(-0.05428)) == ("22", "6.1", "−0.054")
    assert one_place(None) == three_places(None) == "–"
