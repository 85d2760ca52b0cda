"""Measures read as a person would write them, in the studio's units and the language."""

import datetime
from collections import namedtuple

import pytest
from django.template import Context, Template
from django.utils import timezone, translation

from studio.web.shown import NBSP, day_text, seam_hour_text, short_day_text

Studio = namedtuple("Studio", "length_unit mass_unit")
CENTIMETRES = Studio("cm", "kg")
INCHES = Studio("in", "lb")
MILLIMETRES = Studio("mm", "g")


def written(filtered: str, value: object, units: object = CENTIMETRES) -> str:
    """What a template shows for `value`, its no-break spaces as plain ones."""
    template = Template("{% load measures %}{{ value|" + filtered + " }}")
    context = Context({"value": value, "units": units, "today": datetime.date(2024, 3, 12)})
    return template.render(context).replace(NBSP, " ")


@pytest.mark.parametrize(
    ("filtered", "value", "units", "text"),
    [
        ("length:units", 285.0, CENTIMETRES, "28.5 cm"),
        ("length:units", 285.0, MILLIMETRES, "285 mm"),
        ("length:units", 288.925, INCHES, "11 3/8 in"),
        ("length:units", 9.525, INCHES, "3/8 in"),
        ("length:units", -9.525, INCHES, "−3/8 in"),
        ("length:units", 0, INCHES, "0 in"),
        ("length:units", None, INCHES, ""),
        ("length:units", 285.0, None, "285 mm"),
        ("length_number:units", 120, CENTIMETRES, "12.0"),
        ("length_number:units", None, CENTIMETRES, ""),
        ("mass:units", 2344.0, CENTIMETRES, "2.34 kg"),
        ("mass:units", 2344.0, MILLIMETRES, "2344 g"),
        ("mass:units", 2344.0, INCHES, "5.17 lb"),
        ("mass:units", None, INCHES, ""),
        ("mass_range:units", (2341, 2887), CENTIMETRES, "2.3 to 2.9 kg"),
        ("mass_range:units", (2341, 2887), MILLIMETRES, "2300 to 2900 g"),
        ("mass_range:units", (2900, 2900), MILLIMETRES, "2900 g"),
        ("mass_range:units", None, MILLIMETRES, ""),
        ("volume:units", 950.4, MILLIMETRES, "950 cm³"),
        ("volume:units", 1949.0, CENTIMETRES, "1.9 litres"),
        ("volume:units", 473.2, INCHES, "16 fl oz"),
        ("volume:units", 1949.0, INCHES, "2.1 quarts"),
        ("volume:units", None, INCHES, ""),
        ("percent", 12.0, MILLIMETRES, "12%"),
        ("percent", 12.54, MILLIMETRES, "12.5%"),
        ("percent", None, MILLIMETRES, ""),
        ("number", 8.25, MILLIMETRES, "8.25"),
        ("number", -8, MILLIMETRES, "−8"),
        ("number", None, MILLIMETRES, ""),
        ("day", datetime.date(2024, 3, 14), MILLIMETRES, "Thursday 14 March 2024"),
        ("day:today", datetime.date(2024, 3, 14), MILLIMETRES, "Thursday"),
        ("day", None, MILLIMETRES, ""),
    ],
)
def test_a_measure_reads_as_a_person_writes_it(
    filtered: str, value: object, units: object, text: str
) -> None:
    assert written(filtered, value, units) == text


def test_the_unit_stands_alone_where_a_column_shares_it() -> None:
    assert written("length_unit", INCHES) == "in"


def test_length_still_counts_where_no_units_are_given() -> None:
    assert written("length", ["a", "b"]) == "2"


def test_figures_follow_the_language() -> None:
    with translation.override("de"):
        assert written("length:units", 285.0) == "28,5 cm"


@pytest.mark.parametrize(
    ("days", "text"),
    [
        (-1, "yesterday"),
        (0, "today"),
        (1, "tomorrow"),
        (2, "Thursday"),
        (6, "Monday"),
        (7, "Tuesday 19 March"),
        (-2, "Sunday 10 March"),
        (365, "Wednesday 12 March 2025"),
    ],
)
def test_a_day_is_named_by_its_nearness(days: int, text: str) -> None:
    today = datetime.date(2024, 3, 12)
    assert day_text(today + datetime.timedelta(days=days), today) == text


def test_a_moment_falls_on_the_local_day() -> None:
    late_evening = datetime.datetime(2024, 3, 14, 23, 30, tzinfo=datetime.UTC)
    with timezone.override("Asia/Tokyo"):
        assert day_text(late_evening) == "Friday 15 March 2024"


class TestTimesAndHeat:
    def test_a_time_of_day_is_local_and_of_24_hours(self) -> None:
        with timezone.override("Europe/Amsterdam"):
            lit = datetime.datetime(2026, 1, 5, 13, 30, tzinfo=datetime.UTC)
            assert written("clock", lit) == "14:30"
        assert written("clock", datetime.time(8, 0)) == "08:00"

    def test_a_temperature_is_a_whole_degree(self) -> None:
        assert written("temperature", 1222.4) == "1222 °C"

    @pytest.mark.parametrize(
        ("hours", "text"), [(0.5, "30 min"), (14, "14 h"), (9.74, "9 h 45 min")]
    )
    def test_a_duration_is_told_in_quarters_of_an_hour(self, hours: float, text: str) -> None:
        assert written("hours", hours) == text

    @pytest.mark.parametrize("filtered", ["clock", "temperature", "hours"])
    def test_what_is_not_there_shows_as_nothing(self, filtered: str) -> None:
        assert written(filtered, None) == ""


@pytest.mark.parametrize(
    ("hour", "text"),
    [
        (0, "12"),
        (0.25, "12¼"),
        (0.5, "12½"),
        (3, "3"),
        (4.5, "4½"),
        (11.25, "11¼"),
        (11.75, "11¾"),
        (11.9, "12"),
        (12, "12"),
    ],
)
def test_a_seam_is_told_as_on_a_clock_to_a_quarter(hour: float, text: str) -> None:
    assert seam_hour_text(hour) == text


def test_a_date_in_few_letters_stays_on_its_line() -> None:
    assert short_day_text(datetime.date(2026, 12, 4)) == f"Fri{NBSP}4{NBSP}Dec"
