"""The names of cones that the room knows are those of the table of end points."""

import pytest

from studio.kilns.cones import CONE_TYPES, DEFAULT_TYPE, cones
from studio.room.cones import NAMES, heat_of


def test_the_room_names_the_cones_of_the_table_in_its_order() -> None:
    assert cones(DEFAULT_TYPE) == NAMES


@pytest.mark.parametrize("kind", CONE_TYPES)
def test_no_kind_of_cone_has_a_name_of_its_own(kind: str) -> None:
    assert set(cones(kind)) <= set(NAMES)


def test_a_cone_with_a_nought_is_cooler_than_the_one_without() -> None:
    assert heat_of("06") < heat_of("01") < heat_of("1") < heat_of("5.5") < heat_of("6")
