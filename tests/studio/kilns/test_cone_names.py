"""The names of cones that the room knows are those of the table of end points."""

import csv
from pathlib import Path

from studio.kilns import cones as module
from studio.kilns.cones import CONE_TYPES, DEFAULT_TYPE, cones
from studio.room.cones import NAMES, heat_of


def test_the_room_names_every_cone_of_the_table_and_no_other() -> None:
    table = Path(module.__file__).with_name("cones.csv")
    with table.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert {row["cone"] for row in rows} == set(NAMES) == set(cones(DEFAULT_TYPE))
    assert {row["type"] for row in rows} == set(CONE_TYPES)
    for kind in CONE_TYPES:
        named = {row["cone"] for row in rows if row["type"] == kind}
        assert set(cones(kind)) == named


def test_a_cone_with_a_nought_is_cooler_than_the_one_without() -> None:
    assert heat_of("06") < heat_of("01") < heat_of("1") < heat_of("5.5") < heat_of("6")
